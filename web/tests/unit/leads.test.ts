import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Picture } from '../../src/lib/api/picture';
import type { Sheet } from '../../src/lib/plan/arrange';
import type { Curve } from '../../src/lib/plan/curve';
import { leadsOf, roomOf } from '../../src/lib/plan/leads';
import { probeWords } from '../../src/lib/readings/write';
import { clampName, learnNames, nameOf, probeName } from '../../src/lib/words';

const PICTURE = {
  conductors: [{ id: 'main-negative', from: 'main/-', to: 'block/front' }],
  joints: [],
  batteries: [],
  sources: [],
  loads: [],
} as unknown as Picture;
const SHEET = { sites: new Map(), spots: new Map() } as unknown as Sheet;
/** From the left to the right, and from the top downwards. */
const LEVEL: Curve = { a: { x: 0, y: 50 }, b: { x: 200, y: 50 }, c: { x: 100, y: 50 } };
const UPRIGHT: Curve = { a: { x: 50, y: 0 }, b: { x: 50, y: 200 }, c: { x: 50, y: 100 } };

function clamp(curve: Curve, towards: string | null) {
  const probed = { red: null, black: null, through: 'main-negative', towards };
  const lead = leadsOf(probed, PICTURE, SHEET, new Map([['main-negative', curve]]))[0];
  if (!lead) throw new Error('the clamp has no place');
  return lead;
}

describe('a clamp on the plan', () => {
  test('its arrow runs along the conductor from its first end to its second', () => {
    expect(clamp(LEVEL, 'block/front')).toMatchObject({ kind: 'clamp', spot: { x: 100, y: 50 }, turn: 0 });
    expect(clamp(UPRIGHT, 'block/front').turn).toBeCloseTo(90, 9);
  });

  test('its arrow is turned round where the reading counts towards the first end', () => {
    expect(clamp(LEVEL, 'main/-').turn).toBeCloseTo(180, 9);
    expect(clamp(UPRIGHT, 'main/-').turn).toBeCloseTo(270, 9);
  });

  test.each([LEVEL, UPRIGHT])('no name is put over its arrow', (curve) => {
    const [room] = roomOf([clamp(curve, 'block/front')], { k: 2, x: 10, y: 0 });
    const [tail, head] =
      curve === LEVEL
        ? [
            { x: 183, y: 100 },
            { x: 237, y: 100 },
          ]
        : [
            { x: 110, y: 173 },
            { x: 110, y: 227 },
          ];
    for (const { x, y } of [tail, head]) {
      expect(Math.abs(x - (room?.x ?? 0))).toBeLessThan((room?.width ?? 0) / 2);
      expect(Math.abs(y - (room?.y ?? 0))).toBeLessThan((room?.height ?? 0) / 2);
    }
  });
});

test('a lead on the bare strand stands further in than one on the lug, at the same end of the cable', () => {
  const joints = ['from', 'to'].map((end) => ({ id: `main-negative.${end}`, conductor: 'main-negative', point: 'x' }));
  const picture = { ...PICTURE, joints } as unknown as Picture;
  const across = (red: string): number | undefined => {
    const probed = { red, black: null, through: null, towards: null };
    return leadsOf(probed, picture, SHEET, new Map([['main-negative', LEVEL]]))[0]?.spot.x;
  };
  const ends = ['from', 'from.strand', 'to.strand', 'to'].map((own) => across(`main-negative.${own}`) ?? Number.NaN);
  expect(ends).toEqual([...ends].sort((a, b) => a - b));
  expect(new Set(ends).size).toBe(4);
  expect(ends[1]).toBeLessThan(100);
  expect(ends[2]).toBeGreaterThan(100);
});

describe('a place at the end of a cable in words', () => {
  beforeAll(() =>
    learnNames(['main-negative.to', 'main-negative.to.crimp'].map((id) => ({ id, point: 'block/front' }))),
  );
  afterAll(() => learnNames([]));

  test('lug, crimp and bare strand are told apart', () => {
    expect(['main-negative.to', 'main-negative.to.strand'].map(probeName)).toEqual([
      'the lug of main-negative at block\u2009/\u2009front',
      'the strand of main-negative at block\u2009/\u2009front',
    ]);
    expect(nameOf('main-negative.to.crimp')).toBe('the crimp of main-negative at block\u2009/\u2009front');
  });

  test('a cable that nobody knows is named by which of its ends it is', () => {
    expect(probeName('elsewhere.from.strand')).toBe('the strand of elsewhere, from end');
  });
});

describe('a clamp in words', () => {
  beforeAll(() =>
    learnNames([
      { id: 'main-negative.from', point: 'main/-' },
      { id: 'main-negative.to', point: 'block/front' },
    ]),
  );
  afterAll(() => learnNames([]));

  test('the end to which the arrow points is named', () => {
    expect(probeWords({ through: 'main-negative', towards: 'block/front', unit: 'A' })).toBe(
      'clamp round main-negative, its arrow towards block\u2009/\u2009front',
    );
  });

  test('nothing is claimed of a conductor that nobody knows', () => {
    expect(clampName({ through: 'elsewhere' })).toBe('clamp round elsewhere');
  });
});
