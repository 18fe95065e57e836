/** Words that differ from place to place, and names of things for people. */
import type { Action } from './api/types';

export type Region = 'british' | 'american';

const WORDS = {
  earth: { british: 'earth', american: 'ground' },
  bonnet: { british: 'bonnet', american: 'hood' },
} as const;

export type Word = keyof typeof WORDS;

/** A word as this region says it. */
export function word(key: Word, region: Region): string {
  return WORDS[key][region];
}

/** Where each joint sits, so that it can be named by its place. */
const places = new Map<string, string>();

/** Learns the joints of a vehicle: `main-negative.to` is then called "main-negative at block / front". */
export function learnNames(joints: readonly { readonly id: string; readonly point: string }[]): void {
  places.clear();
  for (const { id, point } of joints) places.set(id, point);
}

/** An end of a conductor, and what lies in it: `NAME.to`, its crimp `NAME.to.crimp`, the strand behind that `NAME.to.strand`. */
const END = /\.(?:from|to)(?:\.(?:crimp|strand))?$/;
const INSIDE = /\.(crimp|strand)$/;

/** The conductor that something is an end of, or lies in an end of; other names stay as they are. */
export function conductorOf(id: string): string {
  return id.replace(END, '');
}

/** True for what is, or lies, at the second end of a conductor. */
export function atSecondEnd(id: string): boolean {
  return /\.to$/.test(id.replace(INSIDE, ''));
}

/** An id of the file as a person reads it: `main-negative` stays one word, `block/front` gets air. */
export function nameOf(id: string): string {
  const inside = END.test(id) ? INSIDE.exec(id)?.[1] : undefined;
  if (inside !== undefined) return `the ${inside} of ${nameOf(id.replace(INSIDE, ''))}`;
  const place = places.get(id);
  if (place !== undefined && END.test(id)) return `${nameOf(conductorOf(id))} at ${nameOf(place)}`;
  return id
    .replace(/\.\.metal$/, ' to the metal')
    .replace(/^(.+)\/(.+)\.\.(.+)$/, '$1: $2 to $3')
    .replace(/\/-$/, '/\u2212')
    .replaceAll('/', '\u2009/\u2009')
    .replace(/\.(from|to|case)$/, (_, end: string) => (end === 'case' ? ', case' : `, ${end} end`))
    .replace(/\.(feed|return|lead|fuse)\b/, ' $1');
}

/** Where a lead goes: the lug of a joint is another place than the stud that it sits on, and the strand than the lug. */
export function probeName(id: string): string {
  return places.has(id) ? `the lug of ${nameOf(id)}` : nameOf(id);
}

/**
 * The point that the arrow on a clamp has to point to, so that its sign is that of the reading: the end of the
 * conductor, unless the reading names the other one. Null for a conductor that nobody knows here.
 */
export function clampTowards(probe: { readonly through: string; readonly towards?: string | null }): string | null {
  return probe.towards ?? places.get(`${probe.through}.to`) ?? null;
}

/** Where a clamp goes, and which way round. */
export function clampName(probe: { readonly through: string; readonly towards?: string | null }): string {
  const towards = clampTowards(probe);
  return `clamp round ${nameOf(probe.through)}${towards === null ? '' : `, its arrow towards ${nameOf(towards)}`}`;
}

/** The piece of the plan that a repair is about. */
export function actionPiece(action: Action): string | null {
  if ('clean' in action) return action.clean;
  if ('clean_both' in action) return action.clean_both;
  if ('replace_end' in action) return action.replace_end;
  if ('replace' in action) return action.replace;
  if ('enlarge' in action) return action.enlarge.conductor;
  return null;
}
