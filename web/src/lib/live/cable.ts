/** A cable that is being drawn: its resistance, near enough for a first answer. */
import sizes from './sizes.json';
import type { Draft } from './trial.svelte';

/** Annealed copper at 20 °C, Ω·mm²/m (IEC 60028: 1/58). */
const COPPER = 1 / 58;
/** Two clean bolted lugs of 0.1 mΩ, as the program assumes for a new joint. */
const ENDS = 2e-4;

/** Resistance of a new copper cable from end to end, joints included. */
export function addOhms({ metres, squareMillimetres }: Pick<Draft, 'metres' | 'squareMillimetres'>): number {
  return (COPPER * metres) / squareMillimetres + ENDS;
}

/** Sizes that can be bought, mm²: those of the program's catalogue. */
export const SIZES: readonly number[] = sizes;
