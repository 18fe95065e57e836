/** A conductor's size: only what is shown changes, never what is kept. */
import { type Locale, POINT, plain, type Units } from './format';

const SPACE = '\u00a0';

/** A cross-section: square millimetres, or the nearest American wire gauge (ASTM B258) with its true area. */
export function showArea(squareMetres: number, units: Units, locale: Locale = POINT): string {
  const area = squareMetres * 1e6;
  const metric = `${plain(area, 4).replace('.', locale.decimal)}${SPACE}mm²`;
  if (units === 'metric') return metric;
  return `${nearestGauge(area)}${SPACE}AWG (${metric})`;
}

/** The nearest gauge: diameter = 0.127 mm × 92^((36 − n) / 39), ASTM B258. */
export function nearestGauge(squareMillimetres: number): string {
  const diameter = Math.sqrt((4 * squareMillimetres) / Math.PI);
  const gauge = Math.round(36 - 39 * (Math.log(diameter / 0.127) / Math.log(92)));
  return gauge > 0 ? `${gauge}` : `${1 - gauge}/0`;
}
