/**
 * One load's whole circuit, unrolled: feed pieces in order, the load, the ways home side by side. Every number is the
 * program's own answer to `budget`; while a hand moves, the same pieces lose what the first-order voltages say.
 */
import type { BudgetState, Route, Term } from '../api/types';
import type { Branch } from '../plan/branches';
import { atSecondEnd } from '../words';
import { isJoint, pieceName, type Way, waysOf } from './ways';

export interface Segment {
  readonly piece: string;
  readonly name: string;
  readonly joint: boolean;
  /** Lost in it; negative where the current of others lifts it. */
  readonly volts: number;
  readonly amps: number;
  /** Volts from the beginning of its side. */
  readonly start: number;
}

export interface Strand {
  readonly segments: readonly Segment[];
  readonly amps: number;
  readonly share: number;
  /** Conductors and bodies on the way, for its name. */
  readonly by: readonly string[];
  readonly end: string;
  /** What a meter reads from the load to its end: the sum of its pieces. */
  readonly volts: number;
  /** Volts of its end, as of every point. */
  readonly endVolts: number | null;
}

/** Volts of the four places between which the circuit lies, as of every point; null where nothing joins them to zero. */
export interface Places {
  readonly sourceFeed: number | null;
  readonly loadFeed: number | null;
  readonly loadHome: number | null;
  readonly sourceHome: number | null;
}

export interface Loop {
  readonly load: string;
  readonly source: string;
  readonly sourceVolts: number;
  readonly loadVolts: number;
  readonly loadAmps: number;
  readonly feedVolts: number;
  readonly returnVolts: number;
  readonly places: Places;
  readonly feed: readonly Segment[];
  readonly strands: readonly Strand[];
  /** Ways home that are too thin to draw, taken together. */
  readonly rest: { readonly ways: number; readonly amps: number } | null;
}

/** First-order voltages and currents while a hand moves. */
export interface Live {
  readonly amps: (piece: string) => number | null;
  readonly ohms: (piece: string) => number | null;
  readonly volts: (point: string) => number | null;
  /** Amps of a piece before. */
  readonly before: (piece: string) => number | null;
}

export interface Terminals {
  /** The one that feeds or is fed, and the one on the way home. */
  readonly feed: string;
  readonly home: string;
}

export interface Circuit {
  readonly branches: ReadonlyMap<string, Branch>;
  readonly volts: (point: string) => number | null;
  /** The side that the vehicle's metal is joined to. */
  readonly earth: string;
  /** Terminals of a load, a battery or another source. */
  readonly terminals: (device: string) => Terminals | null;
  /** Where a hand moves: what has changed since the answer. */
  readonly live: Live | null;
}

const MOST_STRANDS = 6;
/** Pieces that lose less are not drawn; a thousand of them are a millivolt. */
const LEAST_VOLTS = 1e-6;

/** Unrolls a load's circuit. */
export function unroll(load: string, { budget, routes }: BudgetState, circuit: Circuit): Loop {
  const { live, branches } = circuit;
  const places = live ? livePlaces(load, budget, circuit, live) : placesOf(budget);
  const sign = circuit.earth === 'positive' ? -1 : 1;
  const between = (a: number | null, b: number | null): number | null =>
    a === null || b === null ? null : sign * (a - b);
  const terms = budget.feed.map((term) => (live ? termNow(term, live) : term));
  const strands = levelled(
    waysOf(routes.routes, branches)
      .map((way) => strandOf(way, circuit))
      .filter(({ amps }) => amps > 0),
    live ? routes.total_amps : null,
  );
  const drawn = strands.filter(({ share }, i) => i < MOST_STRANDS && share > 0.004);
  const left = strands.slice(drawn.length);
  const now = live !== null;
  return {
    load,
    source: budget.source,
    sourceVolts: (now ? between(places.sourceFeed, places.sourceHome) : null) ?? budget.source_volts,
    loadVolts: (now ? between(places.loadFeed, places.loadHome) : null) ?? budget.load_volts,
    loadAmps: budget.load_amps,
    feedVolts: (now ? between(places.sourceFeed, places.loadFeed) : null) ?? budget.feed_volts,
    returnVolts: (now ? between(places.loadHome, places.sourceHome) : null) ?? budget.return_volts,
    places,
    feed: lined(terms, circuit),
    strands: drawn,
    rest: left.length === 0 ? null : { ways: left.length, amps: left.reduce((sum, { amps }) => sum + amps, 0) },
  };
}

function placesOf({ potentials }: BudgetState['budget']): Places {
  return {
    sourceFeed: potentials.source_feed,
    loadFeed: potentials.load_feed,
    loadHome: potentials.load_home,
    sourceHome: potentials.source_home,
  };
}

function livePlaces(load: string, budget: BudgetState['budget'], { terminals }: Circuit, { volts }: Live): Places {
  const from = terminals(budget.source);
  const to = terminals(load);
  if (!from || !to) return placesOf(budget);
  return {
    sourceFeed: volts(from.feed),
    loadFeed: volts(to.feed),
    loadHome: volts(to.home),
    sourceHome: volts(from.home),
  };
}

/**
 * What a piece costs with the voltages of now. Its share of an imaginary ampere may stay that of before: whatever way
 * that ampere takes, the losses along it add up to what a meter reads from end to end (Tellegen's theorem).
 */
function termNow(term: Term, live: Live): Term {
  const amps = live.amps(term.piece) ?? term.amps;
  const ohms = live.ohms(term.piece) ?? term.ohms;
  return { ...term, amps, ohms, volts: ohms * amps * term.share };
}

/** From the source on: down in volts, or up where the metal is the positive side. */
function lined(terms: readonly Term[], { branches, volts, earth }: Circuit): Segment[] {
  const order = orderOf(branches, volts);
  const down = earth === 'positive' ? -1 : 1;
  let start = 0;
  return [...terms]
    .sort((a, b) => down * (order(b.piece) - order(a.piece)))
    .filter((term) => Math.abs(term.volts) > LEAST_VOLTS)
    .map((term) => {
      const { piece, volts: lost, amps } = term;
      const segment = { piece, name: pieceName(piece, branches), joint: isJoint(piece), volts: lost, amps, start };
      start += lost;
      return segment;
    });
}

/** A piece's potential, with joints at their own end of the conductor, and a crimp between its joint and the strands. */
function orderOf(
  branches: ReadonlyMap<string, Branch>,
  volts: (point: string) => number | null,
): (piece: string) => number {
  const places = new Map<string, number>();
  for (const branch of branches.values()) {
    const from = volts(branch.from) ?? 0;
    const to = volts(branch.to) ?? 0;
    places.set(branch.id, (from + to) / 2);
    for (const joint of branch.joints) {
      const near = atSecondEnd(joint) ? to : from;
      const out = joint.endsWith('.crimp') ? 0.8 : 0.9;
      places.set(joint, (from + to) / 2 + (near - (from + to) / 2) * out);
    }
  }
  return (piece) => places.get(piece) ?? 0;
}

function strandOf({ route, amps, by, end }: Way, { branches, live, terminals }: Circuit): Strand {
  let start = 0;
  const segments = route.steps.map((step): Segment => {
    const { piece } = step;
    const { amps: carried, volts } = live ? stepNow(step, live) : step;
    const segment = { piece, name: pieceName(piece, branches), joint: isJoint(piece), volts, amps: carried, start };
    start += volts;
    return segment;
  });
  const home = terminals(end)?.home;
  return {
    segments,
    amps: live ? amps * narrowest(route, live) : amps,
    share: 0,
    by,
    end,
    volts: start,
    endVolts: (live && home !== undefined ? live.volts(home) : null) ?? route.end_volts,
  };
}

function stepNow(step: Route['steps'][number], live: Live): { amps: number; volts: number } {
  const amps = live.amps(step.piece);
  const before = live.before(step.piece);
  const ohms = live.ohms(step.piece);
  if (amps === null || before === null || ohms === null) return step;
  // The way passes the piece from end to beginning where the current of before was turned round for it.
  const along = Math.sign(step.amps) * Math.sign(before) < 0 ? -1 : 1;
  return { amps: along * amps, volts: along * amps * ohms };
}

/** While a hand moves, a way home grows or shrinks as the piece of it that gives way most. */
function narrowest(route: Route, live: Live): number {
  const ratios = route.pieces.map((piece) => {
    const before = Math.abs(live.before(piece) ?? 0);
    return before < 1e-9 ? 1 : Math.abs(live.amps(piece) ?? 0) / before;
  });
  return Math.min(1e3, ...ratios);
}

/** The widest first, with its share; while a hand moves, all ways together still carry the load's whole current. */
function levelled(strands: readonly Strand[], total: number | null): Strand[] {
  const sum = strands.reduce((all, { amps }) => all + amps, 0);
  if (sum === 0) return [];
  return strands
    .map((strand) => ({
      ...strand,
      amps: total === null ? strand.amps : (strand.amps * total) / sum,
      share: strand.amps / sum,
    }))
    .sort((a, b) => b.share - a.share);
}
