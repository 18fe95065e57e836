/** Where everything lies on the sheet: true places, given room and then moved apart by as little as it takes. */
import type { Picture, PictureDevice } from '../api/picture';
import { type Axis, stretchAxis } from './stretch';

export interface Spot {
  readonly x: number;
  readonly y: number;
}

export type SiteKind = 'point' | 'stud' | 'battery' | 'source' | 'load' | 'hidden';

export interface Site extends Spot {
  readonly id: string;
  readonly kind: SiteKind;
  /** Half the side of its box. */
  readonly reach: number;
}

export interface Sheet {
  readonly width: number;
  readonly height: number;
  readonly portrait: boolean;
  readonly sites: ReadonlyMap<string, Site>;
  /** Every point of the vehicle, terminals of devices included. */
  readonly spots: ReadonlyMap<string, Spot>;
  readonly forward: Axis;
  readonly left: Axis;
}

export interface Frame {
  readonly width: number;
  readonly height: number;
}

const EVENNESS = 0.72;
const MARGIN = 58;

/** Lays a vehicle out on a sheet: front to the left, or upwards on a tall sheet. */
export function arrange(picture: Picture, frame: Frame): Sheet {
  const portrait = frame.height > frame.width * 1.05;
  const placed = picture.points.filter((point) => !isHidden(point.id, picture));
  const forwards = placed.map((point) => point.forward);
  const lefts = placed.map((point) => point.left);
  const along = portrait ? frame.height : frame.width;
  const across = portrait ? frame.width : frame.height;
  const margin = Math.min(MARGIN, across * 0.13);
  const forward = stretchAxis(forwards, along - margin, margin, EVENNESS);
  // Seen from above with the front to the left, the left side is below; with the front upwards, it is to the left.
  const left = portrait
    ? stretchAxis(lefts, across - margin, margin, EVENNESS)
    : stretchAxis(lefts, margin, across - margin, EVENNESS);
  const on = (f: number, l: number): Spot =>
    portrait ? { x: left.toPixel(l), y: forward.toPixel(f) } : { x: forward.toPixel(f), y: left.toPixel(l) };

  const crowd = Math.sqrt((frame.width * frame.height) / Math.max(40, placed.length));
  const scale = Math.min(1, Math.max(0.62, crowd / 66));
  const start = sitesOf(picture, on, scale);
  const moved = moveApart(start, frame, margin * 0.55);
  const sites = new Map(moved.map((site) => [site.id, site]));
  return { ...frame, portrait, sites, spots: spotsOf(picture, sites), forward, left };
}

function isHidden(point: string, picture: Picture): boolean {
  return picture.structures.some((body) => point.startsWith(`${body.id}/`) && !body.points.includes(point));
}

/** A device's terminal: drawn at the edge of its sign, not as a point of its own. */
interface Terminal {
  readonly device: string;
  readonly kind: SiteKind;
  /** Plus to the left, minus to the right. */
  readonly side: -1 | 1;
}

/** The terminals of all batteries, sources and loads, by their point. */
export function terminalsOf(picture: Picture): Map<string, Terminal> {
  const terminals = new Map<string, Terminal>();
  const add = (devices: readonly PictureDevice[], kind: SiteKind): void => {
    for (const { id, positive, negative } of devices) {
      terminals.set(positive, { device: id, kind, side: -1 });
      terminals.set(negative, { device: id, kind, side: 1 });
    }
  };
  add(picture.batteries, 'battery');
  add(picture.sources, 'source');
  add(picture.loads, 'load');
  return terminals;
}

function sitesOf(picture: Picture, on: (f: number, l: number) => Spot, scale: number): Site[] {
  const terminals = terminalsOf(picture);
  const sites = new Map<string, Site>();
  for (const point of picture.points) {
    const terminal = terminals.get(point.id);
    const spot = on(point.forward, point.left);
    if (terminal) {
      const { device, kind } = terminal;
      const reach = (kind === 'battery' ? 19 : 12) * scale;
      if (!sites.has(device)) sites.set(device, { id: device, kind, reach, ...spot });
    } else if (isHidden(point.id, picture)) {
      sites.set(point.id, { id: point.id, kind: 'hidden', reach: 0, ...spot });
    } else {
      const stud = point.structure !== null;
      sites.set(point.id, { id: point.id, kind: stud ? 'stud' : 'point', reach: 8 * scale, ...spot });
    }
  }
  return [...sites.values()];
}

/** Pushes overlapping sites apart while each is pulled back to its own place; the same input gives the same sheet. */
function moveApart(sites: readonly Site[], frame: Frame, edge: number): Site[] {
  const home = sites.map(({ x, y }) => ({ x, y }));
  const at = sites.map(({ x, y }) => ({ x, y }));
  const gap = 7;
  for (let round = 0; round < 120; round += 1) {
    for (let i = 0; i < sites.length; i += 1) {
      const a = at[i];
      const own = sites[i];
      if (!a || !own || own.reach === 0) continue;
      for (let j = i + 1; j < sites.length; j += 1) {
        const b = at[j];
        const other = sites[j];
        if (!b || !other || other.reach === 0) continue;
        const wanted = own.reach + other.reach + gap;
        const dx = b.x - a.x;
        const dy = b.y - a.y;
        if (Math.abs(dx) >= wanted || Math.abs(dy) >= wanted) continue;
        const distance = Math.hypot(dx, dy);
        if (distance >= wanted) continue;
        // Sites on one spot part in a direction that depends on their order alone.
        const angle = distance < 0.01 ? (i * 2.399 + j) % 6.283 : Math.atan2(dy, dx);
        const push = (wanted - distance) / 2;
        a.x -= Math.cos(angle) * push;
        a.y -= Math.sin(angle) * push;
        b.x += Math.cos(angle) * push;
        b.y += Math.sin(angle) * push;
      }
    }
    const pull = round < 90 ? 0.02 : 0;
    for (let i = 0; i < at.length; i += 1) {
      const a = at[i];
      const h = home[i];
      const own = sites[i];
      if (!a || !h || !own) continue;
      a.x = clamp(a.x + (h.x - a.x) * pull, edge + own.reach, frame.width - edge - own.reach);
      a.y = clamp(a.y + (h.y - a.y) * pull, edge + own.reach, frame.height - edge - own.reach);
    }
  }
  return sites.map((site, i) => ({ ...site, ...(at[i] ?? {}) }));
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}

/** Terminals sit at the edges of their device, plus on the side that comes first. */
function spotsOf(picture: Picture, sites: ReadonlyMap<string, Site>): Map<string, Spot> {
  const spots = new Map<string, Spot>();
  const terminals = terminalsOf(picture);
  for (const point of picture.points) {
    const own = sites.get(point.id);
    if (own) {
      spots.set(point.id, { x: own.x, y: own.y });
      continue;
    }
    const terminal = terminals.get(point.id);
    const device = terminal && sites.get(terminal.device);
    if (device) spots.set(point.id, { x: device.x + terminal.side * device.reach, y: device.y });
  }
  return spots;
}
