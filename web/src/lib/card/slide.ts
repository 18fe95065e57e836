/** A slider for resistances: equal steps are equal ratios. */

/** Steps of the slider over its whole length. */
export const STEPS = 600;

/** Ends of the slider, in ohms: a clean joint to nearly open. */
export const LEAST = 1e-5;
export const MOST = 1;

/** Where a resistance stands on the slider. */
export function toStep(ohms: number): number {
  const kept = Math.min(MOST, Math.max(LEAST, ohms));
  return Math.round((Math.log(kept / LEAST) / Math.log(MOST / LEAST)) * STEPS);
}

/** The resistance at a step, to two significant digits, so that what is kept in a file can be read. */
export function toOhms(step: number): number {
  return Number((LEAST * (MOST / LEAST) ** (step / STEPS)).toPrecision(2));
}
