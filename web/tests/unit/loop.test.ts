import { describe, expect, test } from 'vitest';
import type { BudgetState } from '../../src/lib/api/types';
import { unroll } from '../../src/lib/loop/unroll';
import type { Branch } from '../../src/lib/plan/branches';

const BRANCHES = new Map<string, Branch>(
  (
    [
      ['feed', 'b/+', 'l/+', ['feed.from', 'feed.to']],
      ['thick', 'l/-', 'b/-', []],
      ['thin', 'l/-', 'b/-', []],
    ] as const
  ).map(([id, from, to, joints]) => [id, { id, from, to, joints, kind: 'conductor', family: 'return', make: 'cable' }]),
);
const OHMS: Record<string, number> = { feed: 0.003, 'feed.from': 0.001, 'feed.to': 0.002, thick: 0.001, thin: 0.004 };
const AMPS: Record<string, number> = { feed: 100, 'feed.from': 100, 'feed.to': 100, thick: 80, thin: 20 };
const VOLTS: Record<string, number> = { 'b/+': 12, 'l/+': 11.4, 'l/-': 0.08, 'b/-': 0 };
const term = (piece: string, share: number): BudgetState['budget']['feed'][number] => ({
  piece,
  share,
  amps: AMPS[piece] ?? 0,
  ohms: OHMS[piece] ?? 0,
  volts: (OHMS[piece] ?? 0) * (AMPS[piece] ?? 0) * share,
  volts_per_ohm: 0,
});
const STATE: BudgetState = {
  state: 's',
  budget: {
    source: 'b',
    source_volts: 12,
    load_volts: 11.32,
    load_amps: 100,
    feed_volts: 0.6,
    return_volts: 0.08,
    feed: [term('feed', 1), term('feed.to', 1), term('feed.from', 1)],
    return: [term('thick', 0.8), term('thin', 0.2)],
  },
  routes: {
    total_amps: 100,
    routes: [
      { load: 'l', amps: 80, share: 0.8, end: 'b', pieces: ['thick'] },
      { load: 'l', amps: 20, share: 0.2, end: 'b', pieces: ['thin'] },
    ],
  },
};
const now = {
  amps: (piece: string) => AMPS[piece] ?? null,
  before: (piece: string) => AMPS[piece] ?? null,
  ohms: (piece: string) => OHMS[piece] ?? null,
  volts: (point: string) => VOLTS[point] ?? null,
  earth: 'negative',
};

describe('a circuit unrolled', () => {
  const loop = unroll('l', STATE, BRANCHES, now);

  test('feed pieces stand in the order of the current, joints at their own ends', () => {
    expect(loop.feed.map(({ piece }) => piece)).toEqual(['feed.from', 'feed', 'feed.to']);
    expect(loop.feed.map(({ start }) => start)).toEqual([0, expect.closeTo(0.1, 12), expect.closeTo(0.4, 12)]);
  });

  test('on a vehicle whose metal is positive the feed runs the other way', () => {
    const turned = unroll('l', STATE, BRANCHES, { ...now, earth: 'positive' });
    expect(turned.feed.map(({ piece }) => piece)).toEqual(['feed.to', 'feed', 'feed.from']);
  });

  test('feed, load and return add up to the source', () => {
    expect(loop.feedVolts + loop.loadVolts + loop.returnVolts).toBeCloseTo(loop.sourceVolts, 12);
    expect(loop.loadVolts).toBeCloseTo(11.32, 12);
  });

  test('parallel ways home lose the same volts and share the current', () => {
    for (const strand of loop.strands)
      expect(strand.segments.reduce((sum, { volts }) => sum + volts, 0)).toBeCloseTo(0.08, 12);
    expect(loop.strands.map(({ share }) => share)).toEqual([0.8, 0.2]);
    expect(loop.strands.reduce((sum, { amps }) => sum + amps, 0)).toBeCloseTo(100, 12);
  });

  test('while a piece is tried, all ways together still carry the whole current', () => {
    const tried = unroll('l', STATE, BRANCHES, {
      ...now,
      amps: (piece) => (piece === 'thick' ? 20 : piece === 'thin' ? 80 : 100),
    });
    expect(tried.strands[0]?.by).toEqual(['thin']);
    expect(tried.strands.reduce((sum, { amps }) => sum + amps, 0)).toBeCloseTo(100, 12);
  });
});
