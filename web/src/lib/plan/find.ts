/** What lies under a finger, and what lies next in the direction of an arrow key. */
import type { Sheet, Spot } from './arrange';
import type { Branch } from './branches';
import { type Curve, distanceTo, spotOn } from './curve';

/** A thing that can be picked, and where it stands. */
export interface Thing extends Spot {
  readonly id: string;
}

/** Everything that can be picked: sites and branches. */
export function thingsOf(
  sheet: Sheet,
  branches: readonly Branch[],
  curves: ReadonlyMap<string, Curve>,
  hidden: ReadonlySet<string>,
): Thing[] {
  const sites = [...sheet.sites.values()].filter(({ kind }) => kind !== 'hidden').map(({ id, x, y }) => ({ id, x, y }));
  const lines = branches.flatMap(({ id }) => {
    const curve = curves.get(id);
    return curve && !hidden.has(id) ? [{ id, ...spotOn(curve, 0.5) }] : [];
  });
  return [...sites, ...lines];
}

/** The thing under a spot, or null; a site before a line, and never further off than `reach`. */
export function under(
  spot: Spot,
  reach: number,
  sheet: Sheet,
  branches: readonly Branch[],
  curves: ReadonlyMap<string, Curve>,
  hidden: ReadonlySet<string>,
  zoom: number,
): string | null {
  const site = siteUnder(spot, reach * 0.7, sheet, zoom);
  if (site) return site;
  let best: string | null = null;
  let least = reach;
  for (const branch of branches) {
    const curve = curves.get(branch.id);
    if (!curve || hidden.has(branch.id)) continue;
    // Metal is behind the leads: it is picked where nothing else is near.
    const far = distanceTo(curve, spot) + (branch.kind === 'stretch' ? reach * 0.4 : 0);
    if (far < least) {
      least = far;
      best = branch.id;
    }
  }
  return best;
}

/** The site under a spot, or null. */
export function siteUnder(spot: Spot, reach: number, sheet: Sheet, zoom: number): string | null {
  let best: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const site of sheet.sites.values()) {
    if (site.kind === 'hidden') continue;
    const far = Math.hypot(site.x - spot.x, site.y - spot.y);
    if (far < Math.max(reach, site.reach / zoom) && far < least) {
      least = far;
      best = site.id;
    }
  }
  return best;
}

export type Arrow = 'ArrowLeft' | 'ArrowRight' | 'ArrowUp' | 'ArrowDown';

const TURN: Readonly<Record<Arrow, number>> = {
  ArrowRight: 0,
  ArrowDown: Math.PI / 2,
  ArrowLeft: Math.PI,
  ArrowUp: -Math.PI / 2,
};

/** The nearest thing in the direction of an arrow; what is joined to the present one comes first. */
export function nextThing(
  from: string | null,
  arrow: Arrow,
  things: readonly Thing[],
  joined: (a: string, b: string) => boolean,
): string | null {
  const here = things.find(({ id }) => id === from);
  if (!here) return things[0]?.id ?? null;
  let best: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const thing of things) {
    if (thing.id === here.id) continue;
    const far = Math.hypot(thing.x - here.x, thing.y - here.y);
    if (far < 0.5) continue;
    const off = Math.abs(difference(Math.atan2(thing.y - here.y, thing.x - here.x), TURN[arrow]));
    if (off > 1.1) continue;
    const cost = far * (1 + off) * (joined(here.id, thing.id) ? 0.45 : 1);
    if (cost < least) {
      least = cost;
      best = thing.id;
    }
  }
  return best ?? from;
}

function difference(a: number, b: number): number {
  const d = a - b;
  return Math.atan2(Math.sin(d), Math.cos(d));
}
