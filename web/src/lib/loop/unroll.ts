/** One load's whole circuit, unrolled: feed pieces in order, the load, the ways home side by side. */
import type { BudgetState, Route, Term } from '../api/types';
import type { Branch } from '../plan/branches';

export interface Segment {
  readonly piece: string;
  readonly joint: boolean;
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
}

export interface Loop {
  readonly load: string;
  readonly source: string;
  readonly sourceVolts: number;
  readonly loadVolts: number;
  readonly loadAmps: number;
  readonly feedVolts: number;
  readonly returnVolts: number;
  readonly feed: readonly Segment[];
  readonly strands: readonly Strand[];
  /** Ways home that are too thin to draw, taken together. */
  readonly rest: { readonly ways: number; readonly amps: number } | null;
}

export interface Now {
  /** Amps of a piece, from the state that is shown. */
  readonly amps: (piece: string) => number | null;
  readonly ohms: (piece: string) => number | null;
  readonly volts: (point: string) => number | null;
  /** Amps of a piece before the trial. */
  readonly before: (piece: string) => number | null;
  /** The side that the vehicle's metal is joined to. */
  readonly earth: string;
}

const MOST_STRANDS = 6;

/** Unrolls a load's circuit; `now` carries what a trial has changed. */
export function unroll(
  load: string,
  { budget, routes }: BudgetState,
  branches: ReadonlyMap<string, Branch>,
  now: Now,
): Loop {
  const feed = lined(
    budget.feed.filter((term) => Math.abs(term.volts) > 5e-5).map((term) => withNow(term, now)),
    orderOf(branches, now),
    now.earth,
  );
  const strands = levelled(
    routes.routes.map((route) => strandOf(route, branches, now)).filter(({ amps }) => amps > 0),
    routes.total_amps,
  );
  const drawn = strands.filter(({ share }, i) => i < MOST_STRANDS && share > 0.004);
  const left = strands.slice(drawn.length);
  const feedVolts = feed.reduce((sum, { volts }) => sum + volts, 0);
  const returnVolts = Math.max(0, ...drawn.map(({ segments }) => segments.reduce((sum, { volts }) => sum + volts, 0)));
  const sourceVolts = now.volts(`${budget.source}/+`) ?? budget.source_volts;
  const minus = now.volts(`${budget.source}/-`) ?? 0;
  return {
    load,
    source: budget.source,
    sourceVolts: sourceVolts - minus,
    loadVolts: sourceVolts - minus - feedVolts - returnVolts,
    loadAmps: budget.load_amps,
    feedVolts,
    returnVolts,
    feed,
    strands: drawn,
    rest: left.length === 0 ? null : { ways: left.length, amps: left.reduce((sum, { amps }) => sum + amps, 0) },
  };
}

function withNow(term: Term, now: Now): Term {
  const amps = now.amps(term.piece) ?? term.amps;
  const ohms = now.ohms(term.piece) ?? term.ohms;
  return { ...term, amps, ohms, volts: ohms * amps * term.share };
}

/** From the source on: down in volts, or up where the metal is the positive side. */
function lined(terms: readonly Term[], order: (piece: string) => number, earth: string): Segment[] {
  const down = earth === 'positive' ? -1 : 1;
  let start = 0;
  return [...terms]
    .sort((a, b) => down * (order(b.piece) - order(a.piece)))
    .map((term) => {
      const segment = { piece: term.piece, joint: isJoint(term.piece), volts: term.volts, amps: term.amps, start };
      start += term.volts;
      return segment;
    });
}

/** A piece's potential, with joints at their own end of the conductor. */
function orderOf(branches: ReadonlyMap<string, Branch>, now: Now): (piece: string) => number {
  const places = new Map<string, number>();
  for (const branch of branches.values()) {
    const from = now.volts(branch.from) ?? 0;
    const to = now.volts(branch.to) ?? 0;
    places.set(branch.id, (from + to) / 2);
    branch.joints.forEach((joint, i) => {
      const near = joint.endsWith('.to') || i === 1 ? to : from;
      places.set(joint, (from + to) / 2 + (near - (from + to) / 2) * 0.9);
    });
  }
  return (piece) => places.get(piece) ?? 0;
}

function strandOf(route: Route, branches: ReadonlyMap<string, Branch>, now: Now): Strand {
  let start = 0;
  const segments = route.pieces.map((piece): Segment => {
    const amps = Math.abs(now.amps(piece) ?? 0);
    const volts = amps * (now.ohms(piece) ?? 0);
    const segment = { piece, joint: isJoint(piece), volts, amps, start };
    start += volts;
    return segment;
  });
  // While something is tried, a way home grows or shrinks as the piece of it that gives way most.
  const ratios = route.pieces.map((piece) => ratioOf(Math.abs(now.amps(piece) ?? 0), Math.abs(now.before(piece) ?? 0)));
  const amps = route.amps * Math.min(...ratios);
  const by = [...new Set(route.pieces.filter((piece) => !isJoint(piece)).map((piece) => bodyOf(piece, branches)))];
  return { segments, amps, share: 0, by, end: route.end };
}

function ratioOf(now: number, before: number): number {
  return before < 1e-9 ? 1 : now / before;
}

/** All ways together carry the load's whole current. */
function levelled(strands: readonly Strand[], total: number): Strand[] {
  const sum = strands.reduce((all, { amps }) => all + amps, 0);
  if (sum === 0) return [];
  return strands
    .map((strand) => ({ ...strand, amps: (strand.amps * total) / sum, share: strand.amps / sum }))
    .sort((a, b) => b.share - a.share);
}

function bodyOf(piece: string, branches: ReadonlyMap<string, Branch>): string {
  return branches.get(piece)?.kind === 'stretch' ? (piece.split('/')[0] ?? piece) : piece;
}

/** Joints are named after their conductor's end or their device's case. */
export function isJoint(piece: string): boolean {
  return /\.(from|to|case|terminal)$/.test(piece);
}
