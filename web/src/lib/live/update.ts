/** One resistance changed, every voltage at once: the rank-one update of the linearised network. */
import type { Column } from '../api/picture';

/** No joint is better than this; below it a conductance would only be rounding. */
const LEAST_OHMS = 1e-7;

/** The change of conductance when the piece has `ohms`; a new conductor begins from nothing. */
export function conductanceChange(column: Column, ohms: number): number {
  const { branch_ohms: branch, piece_ohms: piece } = column;
  if (branch === null) return 1 / ohms;
  return 1 / (branch - piece + ohms) - 1 / branch;
}

/** The voltage of every point for a resistance of the grabbed piece; null where nothing joins it to zero volts. */
export function voltsWith(column: Column, ohms: number): Map<string, number | null> {
  const kept = Math.max(ohms, LEAST_OHMS);
  const change = conductanceChange(column, kept);
  const k = (change * column.across_volts) / (1 + change * column.own_ohms);
  const after = new Map<string, number | null>();
  column.points.forEach((point, at) => {
    const volts = column.volts[at] ?? null;
    const push = column.column[at] ?? null;
    after.set(point, volts === null || push === null ? volts : volts - k * push);
  });
  return after;
}

/** Current through the grabbed piece itself, from the first to the second of `between`. */
export function ampsThrough(column: Column, ohms: number): number {
  const kept = Math.max(ohms, LEAST_OHMS);
  const whole = column.branch_ohms === null ? kept : column.branch_ohms - column.piece_ohms + kept;
  const change = conductanceChange(column, kept);
  return column.across_volts / (1 + change * column.own_ohms) / whole;
}
