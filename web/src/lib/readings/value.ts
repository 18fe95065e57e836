/** A measured value for people. */
import type { MeasuredAt } from '../api/types';
import { type Locale, show } from '../quantity/format';

/** A value in the unit of what was measured; without a unit where there is none. */
export function valueName(value: number, at: MeasuredAt | undefined, locale: Locale): string {
  if (at === undefined || 'volts' in at) return show(value, 'loss', { locale });
  if ('amps' in at) return show(value, 'amperes', { locale });
  if ('ohms' in at) return show(value, 'ohms', { locale });
  return value > 0 ? 'better' : value < 0 ? 'worse' : 'no change';
}
