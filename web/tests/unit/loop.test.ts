import { describe, expect, test } from 'vitest';
import type { BudgetState, Route } from '../../src/lib/api/types';
import { type Circuit, type Live, unroll } from '../../src/lib/loop/unroll';
import { tellApart, waysOf } from '../../src/lib/loop/ways';
import type { Branch } from '../../src/lib/plan/branches';

const BRANCHES = new Map<string, Branch>(
  (
    [
      ['feed', 'b/+', 'l/+', ['feed.from', 'feed.to'], 'conductor'],
      ['thick', 'l/-', 'b/-', [], 'conductor'],
      ['thin', 'b/-', 'l/-', [], 'conductor'],
      ['block/rear..front', 'block/rear', 'block/front', [], 'stretch'],
      ['block/side..front', 'block/side', 'block/front', [], 'stretch'],
      ['block/rear..side', 'block/rear', 'block/side', [], 'stretch'],
    ] as const
  ).map(([id, from, to, joints, kind]) => [id, { id, from, to, joints, kind, family: 'return', make: 'cable' }]),
);
const OHMS: Record<string, number> = { feed: 0.003, 'feed.from': 0.001, 'feed.to': 0.002, thick: 0.001, thin: 0.004 };
const AMPS: Record<string, number> = { feed: 100, 'feed.from': 100, 'feed.to': 100, thick: 80, thin: -20 };
/** Zero stands at another battery: this one's earthed post is lifted by 31 mV below it. */
const VOLTS: Record<string, number> = { 'b/+': 11.969, 'l/+': 11.369, 'l/-': 0.049, 'b/-': -0.031 };
const term = (piece: string, share: number): BudgetState['budget']['feed'][number] => ({
  piece,
  share,
  amps: AMPS[piece] ?? 0,
  ohms: OHMS[piece] ?? 0,
  volts: (OHMS[piece] ?? 0) * (AMPS[piece] ?? 0) * share,
  volts_per_ohm: 0,
});
const route = (amps: number, steps: Route['steps'], end = 'b'): Route => ({
  load: 'l',
  amps,
  share: amps / 100,
  end,
  load_kind: 'load',
  end_kind: 'source',
  pieces: steps.map(({ piece }) => piece),
  steps,
  volts: steps.reduce((sum, { volts }) => sum + volts, 0),
  end_volts: -0.031,
});
const STATE: BudgetState = {
  state: 's',
  budget: {
    source: 'b',
    load_kind: 'load',
    load_name: 'l',
    source_volts: 12,
    load_volts: 11.32,
    load_amps: 100,
    feed_volts: 0.6,
    return_volts: 0.08,
    batteries: [],
    between_volts: 0,
    between: [],
    potentials: { source_feed: 11.969, load_feed: 11.369, load_home: 0.049, source_home: -0.031 },
    feed: [term('feed', 1), term('feed.to', 1), term('feed.from', 1)],
    return: [term('thick', 0.8), term('thin', -0.2)],
  },
  routes: {
    total_amps: 100,
    routes: [
      route(80, [{ piece: 'thick', amps: 80, volts: 0.08 }]),
      // The way home passes this cable from its end to its beginning.
      route(20, [{ piece: 'thin', amps: 20, volts: 0.08 }]),
    ],
  },
  found: true,
  misses: null,
};
const CIRCUIT: Circuit = {
  branches: BRANCHES,
  earth: 'negative',
  volts: (point) => VOLTS[point] ?? null,
  terminals: (device) => ({ feed: `${device}/+`, home: `${device}/-` }),
  live: null,
};
const LIVE: Live = {
  amps: (piece) => AMPS[piece] ?? null,
  before: (piece) => AMPS[piece] ?? null,
  ohms: (piece) => OHMS[piece] ?? null,
  volts: (point) => VOLTS[point] ?? null,
};

describe('a circuit unrolled', () => {
  const loop = unroll('l', STATE, CIRCUIT);

  test('feed pieces stand in the order of the current, joints at their own ends', () => {
    expect(loop.feed.map(({ piece }) => piece)).toEqual(['feed.from', 'feed', 'feed.to']);
    expect(loop.feed.map(({ start }) => start)).toEqual([0, expect.closeTo(0.1, 12), expect.closeTo(0.4, 12)]);
  });

  test('a crimp stands between its joint and the strands, at its own end', () => {
    const joints = ['feed.from', 'feed.from.crimp', 'feed.to.crimp', 'feed.to'];
    const branches = new Map(BRANCHES).set('feed', { ...(BRANCHES.get('feed') as Branch), joints });
    const feed = ['feed.to.crimp', 'feed.to', 'feed', 'feed.from.crimp', 'feed.from'].map((piece) => ({
      ...term(piece, 1),
      volts: 0.01,
    }));
    const state = { ...STATE, budget: { ...STATE.budget, feed } };
    const crimped = unroll('l', state, { ...CIRCUIT, branches });
    expect(crimped.feed.map(({ piece }) => piece)).toEqual([
      'feed.from',
      'feed.from.crimp',
      'feed',
      'feed.to.crimp',
      'feed.to',
    ]);
    expect(crimped.feed.map(({ joint }) => joint)).toEqual([true, true, false, true, true]);
  });

  test('on a vehicle whose metal is positive the feed runs the other way', () => {
    const turned = unroll('l', STATE, { ...CIRCUIT, earth: 'positive' });
    expect(turned.feed.map(({ piece }) => piece)).toEqual(['feed.to', 'feed', 'feed.from']);
  });

  test('what the load gets is what was solved, and its ends stand where they were solved', () => {
    expect(loop).toMatchObject({ loadVolts: 11.32, feedVolts: 0.6, returnVolts: 0.08, sourceVolts: 12 });
    expect(loop.places).toEqual({ sourceFeed: 11.969, loadFeed: 11.369, loadHome: 0.049, sourceHome: -0.031 });
  });

  test('parallel ways home lose the same volts and share the current, whichever way their pieces point', () => {
    for (const strand of loop.strands) {
      expect(strand.volts).toBeCloseTo(0.08, 12);
      expect(strand.endVolts).toBe(-0.031);
    }
    expect(loop.strands.map(({ share }) => share)).toEqual([0.8, 0.2]);
    expect(loop.strands.reduce((sum, { amps }) => sum + amps, 0)).toBeCloseTo(100, 12);
  });

  test('a piece that the current of others lifts counts against the loss', () => {
    const steps = [
      { piece: 'thick', amps: 300, volts: 0.3 },
      { piece: 'thin', amps: -55, volts: -0.22 },
    ];
    const lifted = unroll('l', { ...STATE, routes: { total_amps: 100, routes: [route(100, steps)] } }, CIRCUIT);
    expect(lifted.strands[0]?.volts).toBeCloseTo(0.08, 12);
    expect(lifted.strands[0]?.segments.map(({ start }) => start)).toEqual([0, expect.closeTo(0.3, 12)]);
    expect(lifted.returnVolts).toBe(0.08);
  });

  test('while a hand moves, pieces and ways add up to what the voltages of now say', () => {
    // Everything loses a tenth more than in the answer that is at hand.
    const moved = unroll('l', STATE, {
      ...CIRCUIT,
      live: {
        ...LIVE,
        amps: (piece) => (AMPS[piece] ?? 0) * 1.1,
        volts: (point) => (point === 'b/+' ? 11.969 : point === 'l/+' ? 11.309 : point === 'l/-' ? 0.057 : -0.031),
      },
    });
    expect(moved.feedVolts).toBeCloseTo(0.66, 12);
    expect(moved.feed.reduce((sum, { volts }) => sum + volts, 0)).toBeCloseTo(0.66, 12);
    expect(moved.returnVolts).toBeCloseTo(0.088, 12);
    for (const strand of moved.strands) expect(strand.volts).toBeCloseTo(0.088, 12);
    expect(moved.loadVolts).toBeCloseTo(11.252, 12);
  });

  test('while a piece is tried, all ways together still carry the whole current', () => {
    const tried = unroll('l', STATE, {
      ...CIRCUIT,
      live: { ...LIVE, amps: (piece) => (piece === 'thick' ? 20 : piece === 'thin' ? -80 : 100) },
    });
    expect(tried.strands[0]?.by).toEqual(['thin']);
    expect(tried.strands.reduce((sum, { amps }) => sum + amps, 0)).toBeCloseTo(100, 12);
  });
});

describe('ways home', () => {
  const step = (piece: string): Route['steps'][number] => ({ piece, amps: 1, volts: 0.01 });

  test('that pass the same body by other pieces of it are one way', () => {
    const ways = waysOf(
      [
        route(269, [step('block/rear..front'), step('thick')]),
        route(112, [step('block/rear..side'), step('block/side..front'), step('thick')]),
        route(46, [step('block/rear..front'), step('thin')]),
      ],
      BRANCHES,
    );
    expect(ways.map(({ amps, by }) => [amps, by.join(' → ')])).toEqual([
      [381, 'block → thick'],
      [46, 'block → thin'],
    ]);
  });

  test('to different ends are different ways', () => {
    const ways = waysOf([route(60, [step('thick')]), route(40, [step('thick')], 'other')], BRANCHES);
    expect(ways.map(({ end }) => end)).toEqual(['b', 'other']);
  });

  test('have names that are told apart however little room there is', () => {
    const ways = ['main-negative', 'main-body', 'hood-strap', 'tailgate-strap', 'main-negative-second'].map((last) => ({
      by: ['engine-module.return', 'body', 'block-body', 'frame', last],
      end: 'main',
    }));
    const measure = (text: string): number => 7 * text.length;
    for (const room of [1000, 220, 120, 60, 20]) {
      const names = tellApart(
        ways,
        ways.map(() => room),
        measure,
      );
      expect(new Set(names).size, `${room}: ${names.join(' | ')}`).toBe(ways.length);
      if (room >= 120) for (const name of names) expect(measure(name)).toBeLessThanOrEqual(room);
    }
    expect(
      tellApart(
        ways,
        ways.map(() => 220),
        measure,
      )[0],
    ).toContain('main-negative');
  });
});
