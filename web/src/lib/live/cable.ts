/** A cable that is being drawn: its resistance, near enough for a first answer. */
import type { Draft } from './trial.svelte';

/** Annealed copper at 20 °C, Ω·mm²/m (IEC 60028: 1/58). */
const COPPER = 1 / 58;
/** Two clean bolted lugs of 0.1 mΩ, as the program assumes for a new joint. */
const ENDS = 2e-4;

/** Resistance of a new copper cable from end to end, joints included. */
export function addOhms({ metres, squareMillimetres }: Pick<Draft, 'metres' | 'squareMillimetres'>): number {
  return (COPPER * metres) / squareMillimetres + ENDS;
}

/** Sizes that can be bought, mm² (ISO 6722-1 and IEC 60228 series). */
export const SIZES: readonly number[] = [0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120];
