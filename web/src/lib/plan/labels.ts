/**
 * Places names so that none covers another: the most important first, each where it hides least, or not at all.
 * A name that finds room only further off gets a leader line.
 */
import type { Spot } from './arrange';

export interface Wanted {
  readonly id: string;
  readonly at: Spot;
  readonly width: number;
  readonly height: number;
  /** How far from the spot the name must stay. */
  readonly clear: number;
  /** Higher is placed first. */
  readonly rank: number;
  /** Names that may stand off with a leader line. */
  readonly leader: boolean;
}

export interface Placed {
  readonly id: string;
  /** Middle of the box. */
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly leader: Spot | null;
}

export interface Area {
  readonly width: number;
  readonly height: number;
}

const DIRECTIONS = [0, Math.PI, -Math.PI / 2, Math.PI / 2, -Math.PI / 4, Math.PI / 4, -2.356, 2.356] as const;
const RINGS = [0, 12, 26, 44] as const;

/** Room between two names. */
const AIR = 2;

/** Width of the ruler round the sheet. */
const EDGE = 18;

/** Places as many names as fit, none over the room that is taken. */
export function placeLabels(wanted: readonly Wanted[], ink: Ink, area: Area, taken: readonly Placed[] = []): Placed[] {
  const placed: Placed[] = [...taken];
  for (const label of [...wanted].sort((a, b) => b.rank - a.rank || (a.id < b.id ? -1 : 1))) {
    const best = bestPlace(label, placed, ink, area);
    if (best) placed.push(best);
  }
  return placed.slice(taken.length);
}

function bestPlace(label: Wanted, placed: readonly Placed[], ink: Ink, area: Area): Placed | undefined {
  let best: Placed | undefined;
  let least = 26;
  for (const [ring, off] of RINGS.entries()) {
    if (ring > 1 && !label.leader) break;
    for (const [turn, angle] of DIRECTIONS.entries()) {
      const spot = beside(label, angle, off);
      const box: Placed = {
        id: label.id,
        x: spot.x,
        y: spot.y,
        width: label.width,
        height: label.height,
        leader: ring > 1 ? label.at : null,
      };
      if (!within(box, area) || placed.some((other) => overlap(box, other))) continue;
      const cost = ink.under(box) + ring * 2.2 + turn * 0.25;
      if (cost < least) {
        least = cost;
        best = box;
      }
    }
  }
  return best;
}

/** The middle of a box that touches a circle round the spot on that side. */
function beside(label: Wanted, angle: number, off: number): Spot {
  const dx = Math.cos(angle);
  const dy = Math.sin(angle);
  const far = label.clear + off;
  return {
    x: label.at.x + dx * far + (dx * label.width) / 2,
    y: label.at.y + dy * far + (dy * label.height) / 2,
  };
}

function within(box: Placed, area: Area): boolean {
  return (
    box.x - box.width / 2 >= EDGE &&
    box.x + box.width / 2 <= area.width - EDGE &&
    box.y - box.height / 2 >= EDGE &&
    box.y + box.height / 2 <= area.height - EDGE
  );
}

/** Whether two boxes, with air between them, meet. */
export function overlap(a: Placed, b: Placed): boolean {
  return Math.abs(a.x - b.x) < (a.width + b.width) / 2 + AIR && Math.abs(a.y - b.y) < (a.height + b.height) / 2 + AIR;
}

/** What is already drawn, on a coarse grid with running sums, so that the ink under a box is four look-ups. */
export class Ink {
  readonly #cell = 4;
  readonly #columns: number;
  readonly #rows: number;
  readonly #amount: Float32Array;
  #sums: Float32Array | undefined;

  constructor(area: Area) {
    this.#columns = Math.ceil(area.width / this.#cell) + 1;
    this.#rows = Math.ceil(area.height / this.#cell) + 1;
    this.#amount = new Float32Array(this.#columns * this.#rows);
  }

  /** Draws a round dot. */
  dot(spot: Spot, radius: number, weight: number): void {
    this.#sums = undefined;
    const c = this.#cell;
    for (let y = Math.floor((spot.y - radius) / c); y <= (spot.y + radius) / c; y += 1) {
      for (let x = Math.floor((spot.x - radius) / c); x <= (spot.x + radius) / c; x += 1) {
        if (x < 0 || y < 0 || x >= this.#columns || y >= this.#rows) continue;
        const at = y * this.#columns + x;
        this.#amount[at] = Math.max(this.#amount[at] ?? 0, weight);
      }
    }
  }

  /** How much of what is drawn a box would hide. */
  under(box: { x: number; y: number; width: number; height: number }): number {
    const sums = this.#sums ?? this.#add();
    const c = this.#cell;
    const left = limit(Math.floor((box.x - box.width / 2) / c), this.#columns - 1);
    const right = limit(Math.floor((box.x + box.width / 2) / c), this.#columns - 1);
    const top = limit(Math.floor((box.y - box.height / 2) / c), this.#rows - 1);
    const bottom = limit(Math.floor((box.y + box.height / 2) / c), this.#rows - 1);
    const w = this.#columns + 1;
    const at = (x: number, y: number): number => sums[y * w + x] ?? 0;
    return at(right + 1, bottom + 1) - at(left, bottom + 1) - at(right + 1, top) + at(left, top);
  }

  #add(): Float32Array {
    const w = this.#columns + 1;
    const sums = new Float32Array(w * (this.#rows + 1));
    for (let y = 0; y < this.#rows; y += 1) {
      let row = 0;
      for (let x = 0; x < this.#columns; x += 1) {
        row += this.#amount[y * this.#columns + x] ?? 0;
        sums[(y + 1) * w + x + 1] = (sums[y * w + x + 1] ?? 0) + row;
      }
    }
    this.#sums = sums;
    return sums;
  }
}

function limit(value: number, most: number): number {
  return Math.min(most, Math.max(0, value));
}
