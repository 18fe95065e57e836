/** The past of one thing of the vehicle: what was measured at it and what was done to it. */
import type { Entry, Work } from '../api/garage';
import type { Picture } from '../api/picture';
import type { MeasuredAt } from '../api/types';

export interface Act {
  readonly id: string;
  readonly kind: 'work' | 'reading';
  /** RFC 3339. */
  readonly when: string;
  readonly text: string;
}

/** Readings and work that belong to a thing; a joint's are those on its lug, on the strand behind it, and on its own conductor's work. */
export function actsOn(thing: string, picture: Picture, entries: readonly Entry[], work: readonly Work[]): Act[] {
  const places = placesOf(thing, picture);
  const measured = entries.flatMap((own): Act[] => {
    const { meaning } = own;
    if (own.retracted || meaning?.kind !== 'reading') return [];
    if (!placesIn(meaning.measured).some((place) => places.has(place))) return [];
    return [{ id: own.cid, kind: 'reading', when: own.taken, text: own.text }];
  });
  const done = work.flatMap((own): Act[] => {
    if (own.retracted || !places.has(own.on)) return [];
    const told = [own.what, own.torque, own.protection, own.note].filter(Boolean).join(', ');
    return [{ id: own.cid, kind: 'work', when: own.when ?? own.stored, text: told }];
  });
  return [...measured, ...done];
}

/** The latest first. */
export function pastOf(acts: readonly Act[]): Act[] {
  return [...acts].sort((a, b) => b.when.localeCompare(a.when));
}

/** Names under which something is measured or worked on that is meant by a thing. */
function placesOf(thing: string, picture: Picture): ReadonlySet<string> {
  const conductor = picture.conductors.find(({ id }) => id === thing);
  const lug = thing.replace(/\.crimp$/, '');
  const ends = conductor ? [conductor.from_joint, conductor.to_joint] : [lug];
  return new Set([thing, ...ends, ...ends.map((end) => `${end}.strand`)]);
}

function placesIn(measured: MeasuredAt): string[] {
  if ('volts' in measured) return [measured.volts.red, measured.volts.black];
  if ('amps' in measured) return [measured.amps.through];
  if ('ohms' in measured) return [measured.ohms.from, measured.ohms.to];
  if ('jump_lead' in measured) return [measured.jump_lead.from, measured.jump_lead.to, measured.jump_lead.load];
  return [measured.moved.joint];
}
