/** Where the meter's leads and its clamp go on the plan. A lug is another place than the stud it sits on. */
import type { Picture } from '../api/picture';
import { atSecondEnd } from '../words';
import { type Sheet, type Spot, terminalsOf } from './arrange';
import { type Curve, headingOf, spotOn } from './curve';
import type { Placed } from './labels';

export interface Lead {
  readonly kind: 'red' | 'black' | 'clamp';
  readonly spot: Spot;
  /** Pixels beside the spot, whatever the zoom. */
  readonly aside: number;
  /** For a clamp the way of its arrow, in degrees clockwise from the right. */
  readonly turn: number;
}

export interface Probed {
  readonly red: string | null;
  readonly black: string | null;
  readonly through: string | null;
  /** The point at the end of the clamped conductor to which its arrow points. */
  readonly towards: string | null;
}

/** Half the length of a clamp's arrow, in pixels on the screen. */
export const CLAMP_REACH = 27;

/** How far along its conductor a lug is drawn, and the bare strand behind its crimp. */
const LUG = 0.1;
const STRAND = 0.2;

/** The leads that have a place on the sheet. */
export function leadsOf(
  { red, black, through, towards }: Probed,
  picture: Picture,
  sheet: Sheet,
  curves: ReadonlyMap<string, Curve>,
): Lead[] {
  const leads: Lead[] = [];
  for (const [kind, at] of [
    ['red', red],
    ['black', black],
  ] as const) {
    const place = at === null ? null : placeOf(at, picture, sheet, curves);
    if (place) leads.push({ kind, ...place, turn: 0 });
  }
  const curve = through === null ? undefined : curves.get(through);
  if (curve) {
    const back = picture.conductors.find(({ id }) => id === through)?.from === towards;
    const turn = (headingOf(curve, 0.5) + (back ? 180 : 0)) % 360;
    leads.push({ kind: 'clamp', spot: spotOn(curve, 0.5), aside: 0, turn });
  }
  return leads;
}

function placeOf(
  at: string,
  picture: Picture,
  sheet: Sheet,
  curves: ReadonlyMap<string, Curve>,
): Omit<Lead, 'kind' | 'turn'> | null {
  const lug = at.replace(/\.strand$/, '');
  const joint = picture.joints.find(({ id }) => id === lug);
  const curve = joint?.conductor ? curves.get(joint.conductor) : undefined;
  const along = lug === at ? LUG : STRAND;
  if (curve) return { spot: spotOn(curve, atSecondEnd(at) ? 1 - along : along), aside: 0 };
  const point = joint?.point ?? at;
  const terminal = terminalsOf(picture).get(point);
  const site = sheet.sites.get(terminal?.device ?? point);
  if (site) return { spot: site, aside: terminal ? terminal.side * site.reach : 0 };
  const spot = sheet.spots.get(point);
  return spot ? { spot, aside: 0 } : null;
}

/** The room that each takes on the screen, its word included, so that no name is put there. */
export function roomOf(
  leads: readonly Lead[],
  view: { readonly k: number; readonly x: number; readonly y: number },
): Placed[] {
  return leads.map(({ kind, spot, aside, turn }) => {
    const x = spot.x * view.k + view.x + aside;
    const y = spot.y * view.k + view.y;
    const box = { id: `lead ${kind}`, x, leader: null };
    if (kind === 'red') return { ...box, y: y - 20, width: 34, height: 40 };
    if (kind === 'black') return { ...box, y: y + 21, width: 40, height: 42 };
    // The ring with its arrow and the word above both.
    const along = (turn * Math.PI) / 180;
    const width = Math.max(44, 2 * CLAMP_REACH * Math.abs(Math.cos(along)) + 10);
    const below = Math.max(17, CLAMP_REACH * Math.abs(Math.sin(along)) + 5);
    const above = CLAMP_REACH + 18;
    return { ...box, y: y + (below - above) / 2, width, height: above + below };
  });
}
