/** Metre marks along the edge of the sheet; they follow the plan when it is zoomed, and show where it is stretched. */
import type { Axis } from './stretch';

export interface Mark {
  readonly at: number;
  readonly text: string;
}

/** Marks at whole or half metres (feet in US units) that stand at least `room` pixels apart. */
export function marksOf(axis: Axis, zoom: number, shift: number, length: number, us: boolean, room = 46): Mark[] {
  const step = us ? 0.3048 : 0.5;
  const first = Math.floor(axis.least / step) - 1;
  const last = Math.ceil(axis.most / step) + 1;
  const marks: Mark[] = [];
  const order = Array.from({ length: last - first + 1 }, (_, i) => first + i);
  // Zero and whole metres are set before the rest, so that they are the ones that stay.
  order.sort((a, b) => importance(b, us) - importance(a, us) || Math.abs(a) - Math.abs(b));
  for (const n of order) {
    const at = axis.toPixel(n * step) * zoom + shift;
    if (at < 20 || at > length - 20) continue;
    if (marks.some((mark) => Math.abs(mark.at - at) < room)) continue;
    marks.push({ at, text: us ? `${sign(n)}${Math.abs(n)} ft` : `${sign(n)}${Math.abs(n * step)} m` });
  }
  return marks.sort((a, b) => a.at - b.at);
}

function sign(n: number): string {
  return n < 0 ? '\u2212' : '';
}

function importance(n: number, us: boolean): number {
  if (n === 0) return 3;
  return n % (us ? 5 : 2) === 0 ? 2 : 1;
}
