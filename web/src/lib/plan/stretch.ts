/**
 * A monotone map from metres to pixels that gives crowded parts of a vehicle more room. Order is kept, and the rulers
 * show where each metre went, so nothing is said that is not so.
 */
export interface Axis {
  readonly toPixel: (metres: number) => number;
  readonly least: number;
  readonly most: number;
}

/** `evenness` 0 is a true scale, 1 gives every place the same room. */
export function stretchAxis(metres: readonly number[], from: number, to: number, evenness: number): Axis {
  const sorted = [...metres].sort((a, b) => a - b);
  const least = sorted[0] ?? 0;
  const most = sorted.at(-1) ?? 1;
  const span = most - least || 1;
  const rankOf = rankCurve(sorted);
  const toPixel = (at: number): number => {
    const linear = (at - least) / span;
    const share = linear * (1 - evenness) + rankOf(at) * evenness;
    return from + (to - from) * share;
  };
  return { toPixel, least, most };
}

/** Share of places below a metre, made continuous between places; beyond the ends it goes on linearly. */
function rankCurve(sorted: readonly number[]): (at: number) => number {
  const places = [...new Set(sorted)];
  const counts = new Map<number, number>();
  for (const at of sorted) counts.set(at, (counts.get(at) ?? 0) + 1);
  const n = places.length;
  if (n < 2) return () => 0.5;
  // A place that many share gets more room, but not in proportion.
  const steps = places.slice(1).map((place, i) => {
    const left = counts.get(places[i] ?? place) ?? 1;
    const right = counts.get(place) ?? 1;
    return Math.sqrt(left) + Math.sqrt(right);
  });
  const total = steps.reduce((sum, step) => sum + step, 0);
  const heights = [0];
  for (const step of steps) heights.push((heights.at(-1) ?? 0) + step / total);
  return (at) => {
    const after = places.findIndex((place) => place > at);
    const hi = after < 0 ? n - 1 : Math.max(1, after);
    const lo = hi - 1;
    const x0 = places[lo] ?? 0;
    const x1 = places[hi] ?? 1;
    const y0 = heights[lo] ?? 0;
    const y1 = heights[hi] ?? 1;
    return y0 + ((at - x0) / (x1 - x0)) * (y1 - y0);
  };
}
