/** How a flow looks: width by amps, one of five shades by volts lost. */

/** Upper ends of the first four classes at 12 V, in volts; round values, larger on 24 and 48 V. */
const BOUNDS = [0.01, 0.03, 0.1, 0.3] as const;

export const N_CLASSES = BOUNDS.length + 1;

/** Bounds of the classes for a vehicle's nominal voltage. */
export function lossBounds(nominalVolts: number): number[] {
  const factor = Math.max(1, Math.round(nominalVolts / 12));
  return BOUNDS.map((bound) => bound * factor);
}

/** The class of a loss, 0 for the least. */
export function lossClass(volts: number, bounds: readonly number[]): number {
  const size = Math.abs(volts);
  const at = bounds.findIndex((bound) => size < bound);
  return at < 0 ? bounds.length : at;
}

/** Below this nothing flows, for the eye. */
export const LEAST_AMPS = 0.005;

/** Width of a line in pixels: 1 A is thin, 100 A a finger, 500 A a cable; thinner on a small sheet. */
export function widthOf(amps: number, scale = 1): number {
  const size = Math.abs(amps);
  if (size < LEAST_AMPS) return 1;
  return Math.min(24, 1.4 + 0.78 * Math.sqrt(size)) * scale;
}

/** How much thinner lines are on a small sheet. */
export function widthScale(width: number, height: number): number {
  return Math.min(1, Math.max(0.55, Math.sqrt((width * height) / 420_000)));
}
