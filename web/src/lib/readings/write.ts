/** Readings as the program reads them: `cranking: block/front to main/- 0.41 V`. */
import type { Probe } from '../api/types';
import { clampName, probeName } from '../words';

/** The line that says this reading; `value` as typed, with its unit. */
export function readingText(state: string, probe: Probe, value: string): string {
  const what = probe.unit === 'V' ? `${probe.from} to ${probe.to}` : `${probe.through} towards ${probe.towards}`;
  return `${state}: ${what} ${value}`;
}

/** The value as it is put into the line: what was typed, a point for a comma, the unit behind. */
export function valueText(typed: string, unit: 'V' | 'A', milli: boolean): string {
  const tidy = typed.trim().replace(',', '.').replaceAll('\u2212', '-');
  return /[a-zA-ZµΩ]$/u.test(tidy) ? tidy : `${tidy} ${milli ? 'm' : ''}${unit}`;
}

/** Where the leads go, in words. */
export function probeWords(probe: Probe): string {
  return probe.unit === 'V' ? `red on ${probeName(probe.from)}, black on ${probeName(probe.to)}` : clampName(probe);
}
