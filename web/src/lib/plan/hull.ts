/** Quiet shapes round the points of a structure. */
import type { Spot } from './arrange';

/** Convex hull, in order round it (Andrew's monotone chain). */
export function hullOf(spots: readonly Spot[]): Spot[] {
  const sorted = [...spots].sort((a, b) => a.x - b.x || a.y - b.y);
  if (sorted.length < 3) return sorted;
  const half = (list: readonly Spot[]): Spot[] => {
    const chain: Spot[] = [];
    for (const spot of list) {
      while (chain.length >= 2 && turn(chain.at(-2), chain.at(-1), spot) <= 0) chain.pop();
      chain.push(spot);
    }
    chain.pop();
    return chain;
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

function turn(a: Spot | undefined, b: Spot | undefined, c: Spot): number {
  if (!a || !b) return 1;
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/** A closed path round spots at a distance, with round corners: each spot becomes a circle, the outline their band. */
export function bandRound(spots: readonly Spot[], distance: number): string {
  const ring = spots.flatMap((spot) =>
    Array.from({ length: 12 }, (_, i) => ({
      x: spot.x + distance * Math.cos((i * Math.PI) / 6),
      y: spot.y + distance * Math.sin((i * Math.PI) / 6),
    })),
  );
  const hull = hullOf(ring);
  if (hull.length === 0) return '';
  return `M${hull.map(({ x, y }) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}Z`;
}
