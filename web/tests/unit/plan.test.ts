import { describe, expect, test } from 'vitest';
import type { Picture } from '../../src/lib/api/picture';
import { arrange } from '../../src/lib/plan/arrange';
import { branchesOf } from '../../src/lib/plan/branches';
import { curvesOf, distanceTo, spotOn } from '../../src/lib/plan/curve';
import { nextThing } from '../../src/lib/plan/find';
import { hullOf } from '../../src/lib/plan/hull';
import { lossBounds, lossClass, widthOf } from '../../src/lib/plan/look';
import { marksOf } from '../../src/lib/plan/rulers';
import { stretchAxis } from '../../src/lib/plan/stretch';
import { grid } from './grid';

const FRAME = { width: 1000, height: 520 };

describe('the stretched scale', () => {
  const axis = stretchAxis([0, 0.1, 0.12, 0.15, 0.2, 4], 900, 50, 0.7);

  test('keeps the order of places', () => {
    for (let at = -0.5; at < 4.5; at += 0.01) expect(axis.toPixel(at + 0.01)).toBeLessThan(axis.toPixel(at));
  });

  test('gives a crowd more room than its true scale would', () => {
    expect(axis.toPixel(0) - axis.toPixel(0.2)).toBeGreaterThan((850 * 0.2) / 4);
  });

  test('a single place is no accident', () => {
    expect(Number.isFinite(stretchAxis([1, 1], 0, 100, 0.7).toPixel(1))).toBe(true);
    expect(Number.isFinite(stretchAxis([], 0, 100, 0.7).toPixel(1))).toBe(true);
  });

  test('ruler marks keep their distance and show zero', () => {
    const marks = marksOf(axis, 1, 0, 950, false);
    expect(marks.some(({ text }) => text === '0 m')).toBe(true);
    for (const [i, mark] of marks.slice(1).entries()) expect(mark.at - (marks[i]?.at ?? 0)).toBeGreaterThanOrEqual(46);
  });
});

describe('the sheet', () => {
  const picture: Picture = grid(130);
  const sheet = arrange(picture, FRAME);

  test('no sign lies on another', () => {
    const sites = [...sheet.sites.values()].filter(({ reach }) => reach > 0);
    for (const [i, a] of sites.entries()) {
      for (const b of sites.slice(i + 1))
        expect(Math.hypot(a.x - b.x, a.y - b.y), `${a.id} and ${b.id}`).toBeGreaterThan(Math.min(a.reach, b.reach));
    }
  });

  test('everything lies inside', () => {
    for (const { x, y } of sheet.spots.values()) {
      expect(x).toBeGreaterThan(10);
      expect(x).toBeLessThan(FRAME.width - 10);
      expect(y).toBeGreaterThan(10);
      expect(y).toBeLessThan(FRAME.height - 10);
    }
  });

  test('front is to the left, and up on a tall sheet', () => {
    const ends = ['battery/+', 'tail/+'] as const;
    const [front, rear] = ends.map((id) => sheet.spots.get(id));
    expect(front?.x).toBeLessThan(rear?.x ?? 0);
    const tall = arrange(picture, { width: 400, height: 700 });
    expect(tall.spots.get('battery/+')?.y).toBeLessThan(tall.spots.get('tail/+')?.y ?? 0);
  });

  test('the same vehicle gives the same sheet', () => {
    expect([...arrange(picture, FRAME).spots]).toEqual([...sheet.spots]);
  });

  test('parallel cables do not lie on each other', () => {
    const branches = branchesOf(picture);
    const twice = [...branches, { ...(branches[0] as (typeof branches)[0]), id: 'twin' }];
    const curves = curvesOf(twice, sheet.spots);
    const [a, b] = [curves.get(branches[0]?.id ?? ''), curves.get('twin')];
    expect(
      a && b && Math.hypot(spotOn(a, 0.5).x - spotOn(b, 0.5).x, spotOn(a, 0.5).y - spotOn(b, 0.5).y),
    ).toBeGreaterThan(10);
    expect(a && distanceTo(a, spotOn(a, 0.3))).toBeLessThan(1);
  });
});

test('a crimp that is told apart is a joint of its cable, next to the joint of its end', () => {
  const picture = grid(8);
  const [cable] = picture.conductors;
  const face = picture.joints.find(({ id }) => id === cable?.to_joint);
  if (!cable || !face) throw new Error('there is a cable');
  const told = { ...picture, joints: [...picture.joints, { ...face, id: `${face.id}.crimp` }] };
  const branch = branchesOf(told).find(({ id }) => id === cable.id);
  expect(branch?.joints).toEqual([cable.from_joint, `${face.id}.crimp`, face.id]);
});

describe('looks', () => {
  test('classes change at round values, doubled at 24 V', () => {
    const bounds = lossBounds(12);
    expect([0, 0.0099, 0.01, 0.05, -0.2, 3].map((volts) => lossClass(volts, bounds))).toEqual([0, 0, 1, 2, 3, 4]);
    expect(lossBounds(24)[3]).toBe(0.6);
  });

  test('more amps are wider, either way round', () => {
    expect(widthOf(-300)).toBe(widthOf(300));
    expect([0, 1, 10, 100, 500].map((amps) => widthOf(amps))).toEqual(
      [...[0, 1, 10, 100, 500].map((amps) => widthOf(amps))].sort((a, b) => a - b),
    );
  });

  test('a hull goes round all spots', () => {
    expect(
      hullOf([
        { x: 0, y: 0 },
        { x: 4, y: 0 },
        { x: 4, y: 4 },
        { x: 0, y: 4 },
        { x: 2, y: 2 },
      ]),
    ).toHaveLength(4);
  });
});

test('an arrow key goes to what is joined before what is merely near', () => {
  const things = [
    { id: 'a', x: 0, y: 0 },
    { id: 'near', x: 30, y: 2 },
    { id: 'joined', x: 50, y: 0 },
    { id: 'left', x: -20, y: 0 },
  ];
  const joined = (a: string, b: string): boolean => [a, b].includes('joined') && [a, b].includes('a');
  expect(nextThing('a', 'ArrowRight', things, joined)).toBe('joined');
  expect(nextThing('a', 'ArrowLeft', things, joined)).toBe('left');
  expect(nextThing('a', 'ArrowUp', things, joined)).toBe('a');
  expect(nextThing(null, 'ArrowUp', things, joined)).toBe('a');
});
