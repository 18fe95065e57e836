/** Why nothing is worth doing, and the reading that comes before any part. */
import type { Repairs } from '../api/types';
import { nameOf } from '../words';

/** What is said where there is no step. */
export function nothingText({ nothing, made_too_small: short }: Pick<Repairs, 'nothing' | 'made_too_small'>): string {
  if (nothing === 'elsewhere')
    return 'Nothing worth doing on joints and cables: what is likely at fault is none of them. See what the readings say.';
  if (nothing === 'measure-first') return 'Nothing worth doing yet: no single step is likely to help. Measure first.';
  const sound =
    'Nothing worth doing: no joint is beyond what its kind usually has. What the cables lose is the drop they were made with: leave it.';
  const loads = [...new Set(short.map(({ load }) => nameOf(load)))];
  return loads.length === 0
    ? sound
    : `${sound} With everything sound too little reaches ${loads.join(', ')}: it was made so.`;
}

/** Of many that no single reading divides the readings' own answer tells; nobody cleans them all. */
export function firstReadings(all: Repairs['first_readings']): Repairs['first_readings'] {
  return all.filter(({ joints, reading }) => reading !== null || joints.length === 2);
}

/** Joints that look alike, and where the probes go that tell which. */
export function firstReadingText({ joints, reading }: Repairs['first_readings'][number]): string {
  const alike = `${joints.map(nameOf).join(' and ')} look alike so far.`;
  if (reading?.reading == null) return `${alike} No reading in reach tells which: clean both in one go.`;
  const { state, reading: at } = reading;
  const probes =
    'through' in at ? `a clamp around ${nameOf(at.through)}` : `red on ${nameOf(at.from)}, black on ${nameOf(at.to)}`;
  return `${alike} In ${state.replaceAll('-', ' ')}, ${probes} tells which.`;
}
