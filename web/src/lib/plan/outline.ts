/** The vehicle's silhouette: no more than a round nose and a flat tail, since the file says nothing of its shape. */
import type { Sheet, Spot } from './arrange';

const AROUND = 26;

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

function boxOf(sheet: Sheet): Box {
  const sites = [...sheet.sites.values()].filter(({ kind }) => kind !== 'hidden');
  const xs = sites.map(({ x }) => x);
  const ys = sites.map(({ y }) => y);
  return {
    left: Math.max(20, Math.min(...xs) - AROUND),
    right: Math.min(sheet.width - 20, Math.max(...xs) + AROUND),
    top: Math.max(20, Math.min(...ys) - AROUND),
    bottom: Math.min(sheet.height - 20, Math.max(...ys) + AROUND),
  };
}

/** As path data; the nose is to the left, or up on a tall sheet. */
export function outlinePath(sheet: Sheet): string {
  const { left: l, right: r, top: t, bottom: b } = boxOf(sheet);
  const nose = Math.min(90, (r - l) / 4, (b - t) / 4);
  const tail = nose * 0.35;
  if (sheet.portrait) {
    const m = (l + r) / 2;
    return `M${l} ${t + nose}Q${l} ${t + 10} ${l + nose} ${t + 6}Q${m} ${t - 6} ${r - nose} ${t + 6}Q${r} ${t + 10} ${r} ${t + nose}V${b - tail}Q${r} ${b} ${r - tail} ${b}H${l + tail}Q${l} ${b} ${l} ${b - tail}Z`;
  }
  const m = (t + b) / 2;
  return `M${l + nose} ${t}H${r - tail}Q${r} ${t} ${r} ${t + tail}V${b - tail}Q${r} ${b} ${r - tail} ${b}H${l + nose}Q${l + 10} ${b} ${l + 6} ${b - nose}Q${l - 6} ${m} ${l + 6} ${t + nose}Q${l + 10} ${t} ${l + nose} ${t}Z`;
}

/** Spots along the silhouette's straight sides. */
export function outlineOf(sheet: Sheet, step: number): Spot[] {
  const { left, right, top, bottom } = boxOf(sheet);
  const spots: Spot[] = [];
  for (let x = left; x <= right; x += step) spots.push({ x, y: top }, { x, y: bottom });
  for (let y = top; y <= bottom; y += step) spots.push({ x: left, y }, { x: right, y });
  return spots;
}
