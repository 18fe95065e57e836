import { describe, expect, test } from 'vitest';
import { Ink, overlap, placeLabels, type Wanted } from '../../src/lib/plan/labels';
import { roomOf } from '../../src/lib/plan/leads';

const AREA = { width: 900, height: 500 };

/** A crowd that is the same each time. */
function crowd(n: number, width: number): Wanted[] {
  let seed = 7;
  const next = (): number => {
    seed = (seed * 16_807) % 2_147_483_647;
    return seed / 2_147_483_647;
  };
  return Array.from({ length: n }, (_, i) => ({
    id: `n${i}`,
    at: { x: 30 + next() * 840, y: 30 + next() * 440 },
    width: width * (0.5 + next()),
    height: 14 + 14 * Math.round(next()),
    clear: 6,
    rank: Math.round(next() * 100),
    leader: next() > 0.5,
  }));
}

describe('names on the plan', () => {
  test.each([20, 150, 600])('never cover one another, however many of %d there are', (n) => {
    const placed = placeLabels(crowd(n, 80), new Ink(AREA), AREA);
    for (const [i, a] of placed.entries()) for (const b of placed.slice(i + 1)) expect(overlap(a, b)).toBe(false);
    expect(placed.length).toBeGreaterThan(10);
  });

  test('never cover the words at the meter’s leads', () => {
    const spot = { x: 450, y: 250 };
    const leads = [
      { kind: 'red', spot, aside: 0, turn: 0 },
      { kind: 'black', spot: { x: 200, y: 300 }, aside: 12, turn: 0 },
      { kind: 'clamp', spot: { x: 700, y: 120 }, aside: 0, turn: 60 },
    ] as const;
    const taken = roomOf(leads, { k: 1, x: 0, y: 0 });
    const free = placeLabels(crowd(600, 80), new Ink(AREA), AREA);
    expect(free.some((name) => taken.some((lead) => overlap(name, lead)))).toBe(true);
    const placed = placeLabels(crowd(600, 80), new Ink(AREA), AREA, taken);
    expect(placed.some((name) => taken.some((lead) => overlap(name, lead)))).toBe(false);
  });

  test('stay inside the frame', () => {
    for (const { x, y, width, height } of placeLabels(crowd(300, 120), new Ink(AREA), AREA)) {
      expect(x - width / 2).toBeGreaterThanOrEqual(18);
      expect(x + width / 2).toBeLessThanOrEqual(AREA.width - 18);
      expect(y - height / 2).toBeGreaterThanOrEqual(18);
      expect(y + height / 2).toBeLessThanOrEqual(AREA.height - 18);
    }
  });

  test('the most important finds room first', () => {
    const rivals: Wanted[] = Array.from({ length: 40 }, (_, i) => ({
      id: `n${i}`,
      at: { x: 450, y: 250 },
      width: 120,
      height: 14,
      clear: 6,
      rank: i,
      leader: false,
    }));
    const placed = placeLabels(rivals, new Ink(AREA), AREA);
    expect(placed[0]?.id).toBe('n39');
    expect(placed.length).toBeLessThan(40);
  });

  test('keep off thick lines when there is room beside them', () => {
    const ink = new Ink(AREA);
    for (let x = 0; x < AREA.width; x += 4) ink.dot({ x, y: 240 }, 8, 0.75);
    const [label] = placeLabels(
      [{ id: 'a', at: { x: 450, y: 252 }, width: 90, height: 14, clear: 6, rank: 1, leader: false }],
      ink,
      AREA,
    );
    expect(label).toBeDefined();
    expect(ink.under(label as never)).toBe(0);
  });

  test('the same names are placed the same way each time', () => {
    const names = crowd(200, 90);
    expect(placeLabels(names, new Ink(AREA), AREA)).toEqual(placeLabels([...names].reverse(), new Ink(AREA), AREA));
  });
});
