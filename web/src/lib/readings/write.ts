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

/** What has to hold while the engine does that. */
export function cautionFor(engine: string | undefined): string {
  if (engine === 'cranks') {
    return 'Cranking: out of gear, parking brake on, fuel or ignition off as the maker says; hands, sleeves and leads clear of belts and fans. A few seconds at a time: cables and starter heat in seconds. Rings off; no spark and no flame near a battery.';
  }
  if (engine === 'runs') {
    return 'Engine running: out of gear, parking brake on; hands, sleeves and leads clear of belts and fans. Exhaust out of the building. Rings off; no spark and no flame near a battery.';
  }
  return 'Rings off; no spark and no flame near a battery. Leads clear of fans: they may start by themselves.';
}
