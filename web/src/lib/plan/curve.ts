/** Lines between two spots, bent a little so that neighbours and parallels stay apart. */

import type { Spot } from './arrange';
import type { Branch } from './branches';

export interface Curve {
  readonly a: Spot;
  readonly b: Spot;
  /** Control spot of the quadratic curve. */
  readonly c: Spot;
}

/** Curves of all branches; parallel ones fan out. */
export function curvesOf(branches: readonly Branch[], spots: ReadonlyMap<string, Spot>): Map<string, Curve> {
  const fans = new Map<string, string[]>();
  for (const branch of branches) {
    const key = [branch.from, branch.to].sort().join('\u0000');
    fans.set(key, [...(fans.get(key) ?? []), branch.id]);
  }
  const curves = new Map<string, Curve>();
  for (const branch of branches) {
    const a = spots.get(branch.from);
    const b = spots.get(branch.to);
    if (!a || !b) continue;
    const key = [branch.from, branch.to].sort().join('\u0000');
    const fan = fans.get(key) ?? [branch.id];
    const place = fan.indexOf(branch.id) - (fan.length - 1) / 2;
    const flipped = branch.from > branch.to ? -1 : 1;
    curves.set(branch.id, bent(a, b, bendOf(branch, a, b) + place * 22 * flipped));
  }
  return curves;
}

function bendOf(branch: Branch, a: Spot, b: Spot): number {
  if (branch.kind === 'stretch' || branch.kind === 'case') return 0;
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const side = branch.family === 'return' ? 1 : -1;
  const direction = a.x <= b.x ? 1 : -1;
  return side * direction * Math.min(46, length * 0.14);
}

function bent(a: Spot, b: Spot, bend: number): Curve {
  const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
  const nx = -(b.y - a.y) / length;
  const ny = (b.x - a.x) / length;
  return { a, b, c: { x: (a.x + b.x) / 2 + nx * bend * 2, y: (a.y + b.y) / 2 + ny * bend * 2 } };
}

/** A place on the curve; 0 at its beginning, 1 at its end. */
export function spotOn({ a, b, c }: Curve, t: number): Spot {
  const s = 1 - t;
  return { x: s * s * a.x + 2 * s * t * c.x + t * t * b.x, y: s * s * a.y + 2 * s * t * c.y + t * t * b.y };
}

/** The way along the curve at a place, from its beginning to its end: degrees clockwise from the right. */
export function headingOf({ a, b, c }: Curve, t: number): number {
  const dx = (1 - t) * (c.x - a.x) + t * (b.x - c.x);
  const dy = (1 - t) * (c.y - a.y) + t * (b.y - c.y);
  return (Math.atan2(dy, dx) * 180) / Math.PI;
}

/** The curve as path data. */
export function pathOf({ a, b, c }: Curve): string {
  return `M${round(a.x)} ${round(a.y)}Q${round(c.x)} ${round(c.y)} ${round(b.x)} ${round(b.y)}`;
}

/** Evenly many spots along the curve, ends included. */
export function samplesOf(curve: Curve, n: number): Spot[] {
  return Array.from({ length: n + 1 }, (_, i) => spotOn(curve, i / n));
}

/** How far a spot is from the curve. */
export function distanceTo(curve: Curve, spot: Spot): number {
  const samples = samplesOf(curve, 16);
  let least = Number.POSITIVE_INFINITY;
  for (let i = 1; i < samples.length; i += 1) {
    const p = samples[i - 1];
    const q = samples[i];
    if (p && q) least = Math.min(least, toSegment(p, q, spot));
  }
  return least;
}

function toSegment(p: Spot, q: Spot, spot: Spot): number {
  const dx = q.x - p.x;
  const dy = q.y - p.y;
  const t = Math.min(1, Math.max(0, ((spot.x - p.x) * dx + (spot.y - p.y) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(spot.x - p.x - t * dx, spot.y - p.y - t * dy);
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
