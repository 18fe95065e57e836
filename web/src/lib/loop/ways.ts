/** A load's ways home as they are told: those of the same names as one, each named so that it can be told from the others. */
import type { Route } from '../api/types';
import type { Branch } from '../plan/branches';
import { conductorOf } from '../words';

export interface Way {
  /** The widest of those that are told as one; all of them lose the same between the same places. */
  readonly route: Route;
  readonly amps: number;
  readonly share: number;
  /** Conductors and bodies on the way, in its order. */
  readonly by: readonly string[];
  readonly end: string;
}

/** The ways home, the widest first. */
export function waysOf(routes: readonly Route[], branches: ReadonlyMap<string, Branch>): Way[] {
  const ways = new Map<string, Way>();
  for (const route of routes) {
    const by = namesOn(route, branches);
    const key = [...by, route.end].join('\u0000');
    const known = ways.get(key);
    ways.set(key, {
      route: known && known.route.amps >= route.amps ? known.route : route,
      amps: (known?.amps ?? 0) + route.amps,
      share: (known?.share ?? 0) + route.share,
      by,
      end: route.end,
    });
  }
  return [...ways.values()].sort((a, b) => b.amps - a.amps);
}

/** Pieces of one body that follow one another are that body once. */
function namesOn(route: Route, branches: ReadonlyMap<string, Branch>): string[] {
  const names: string[] = [];
  for (const piece of route.pieces) {
    if (isJoint(piece)) continue;
    const name = branches.get(piece)?.kind === 'stretch' ? (piece.split('/')[0] ?? piece) : pieceName(piece, branches);
    if (names.at(-1) !== name) names.push(name);
  }
  return names;
}

/** A conductor that is only tried has a name of the program's own. */
export function pieceName(piece: string, branches: ReadonlyMap<string, Branch>): string {
  const own = conductorOf(piece);
  return /^new-\d+$/.test(own) && !branches.has(own) ? 'new cable' : piece;
}

/** Joints are named after their conductor's end, the crimp in it, or their device's case. */
export function isJoint(piece: string): boolean {
  return /\.(from|to|crimp|case|terminal)$/.test(piece);
}

/**
 * A name for each way that fits its room and is no other's. What tells a way from the others stays longest: names that
 * many ways share are left out first.
 */
export function tellApart(
  ways: readonly Pick<Way, 'by' | 'end'>[],
  rooms: readonly number[],
  measure: (text: string) => number,
): string[] {
  const ends = new Set(ways.map(({ end }) => end)).size > 1;
  const parts = ways.map(({ by, end }) => (ends ? [...by, end] : [...by]));
  const shared = new Map<string, number>();
  for (const names of parts) for (const name of new Set(names)) shared.set(name, (shared.get(name) ?? 0) + 1);
  const taken = new Set<string>();
  return parts.map((names, i) => {
    const room = rooms[i] ?? 0;
    // The rarest first; of equals the later one, nearer to the end of the way.
    const order = names.map((_, at) => at).sort((a, b) => rarity(names, shared, a) - rarity(names, shared, b) || b - a);
    for (let kept = names.length; kept > 0; kept -= 1) {
      const text = joined(names, new Set(order.slice(0, kept)));
      if (measure(text) <= room && !taken.has(text)) {
        taken.add(text);
        return text;
      }
    }
    const short = cut(names[order[0] ?? 0] ?? '', room, measure);
    for (let n = 1; ; n += 1) {
      const text = n === 1 ? short : `${short} (${n})`;
      if (taken.has(text)) continue;
      taken.add(text);
      return text;
    }
  });
}

function rarity(names: readonly string[], shared: ReadonlyMap<string, number>, at: number): number {
  return shared.get(names[at] ?? '') ?? 0;
}

/** The kept names in their order, with a mark where others were left out. */
function joined(names: readonly string[], kept: ReadonlySet<number>): string {
  const out: string[] = [];
  names.forEach((name, at) => {
    if (kept.has(at)) out.push(name);
    else if (out.at(-1) !== '…') out.push('…');
  });
  return out.join(' → ');
}

/** Cut in the middle: names that begin alike end differently. */
function cut(text: string, room: number, measure: (text: string) => number): string {
  if (measure(text) <= room) return text;
  for (let kept = text.length - 1; kept > 4; kept -= 1) {
    const head = Math.ceil(kept / 2);
    const short = `${text.slice(0, head)}…${text.slice(text.length - (kept - head))}`;
    if (measure(short) <= room) return short;
  }
  return `${text.slice(0, 2)}…${text.slice(-2)}`;
}
