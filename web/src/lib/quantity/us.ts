/** Metric or US: only what is shown changes, never what is kept. */
import { type Locale, POINT } from './format';

export type Units = 'metric' | 'us';

const SPACE = '\u00a0';

/** A length: metres, or feet and inches. */
export function showLength(metres: number, units: Units, locale: Locale = POINT): string {
  if (units === 'metric') {
    return metres < 1 ? `${decimal(metres * 1000, 0, locale)}${SPACE}mm` : `${decimal(metres, 2, locale)}${SPACE}m`;
  }
  const inches = metres / 0.0254;
  if (inches < 24) return `${decimal(inches, 1, locale)}${SPACE}in`;
  const whole = Math.round(inches);
  return `${Math.floor(whole / 12)}${SPACE}ft${SPACE}${whole % 12}${SPACE}in`;
}

const LENGTHS: Readonly<Record<string, number>> = {
  m: 1,
  cm: 0.01,
  mm: 0.001,
  ft: 0.3048,
  "'": 0.3048,
  in: 0.0254,
  '"': 0.0254,
};

/** Reads "0,8", "80 cm", "2 ft 7 in", 2'7"; without a unit, metres or feet as the person counts. Null for anything else. */
export function readLength(text: string, units: Units): number | null {
  const tidy = text.trim();
  const parts = [...tidy.matchAll(/(\d+(?:[.,]\d*)?|[.,]\d+)\s*(mm|cm|m|ft|in|['"])?\s*/giy)];
  if (parts.length === 0 || parts.length > 2 || parts.map(([whole]) => whole).join('') !== tidy) return null;
  const usual = units === 'metric' ? 'm' : 'ft';
  if (parts.length === 2 && parts.some(([, , unit]) => unit === undefined)) return null;
  return parts.reduce((sum, [, number = '', unit]) => {
    return sum + Number(number.replace(',', '.')) * (LENGTHS[(unit ?? usual).toLowerCase()] ?? Number.NaN);
  }, 0);
}

/** A cross-section: square millimetres, or the nearest American wire gauge (ASTM B258) with its true area. */
export function showArea(squareMetres: number, units: Units, locale: Locale = POINT): string {
  const area = squareMetres * 1e6;
  const metric = `${decimal(area, area < 10 ? 1 : 0, locale)}${SPACE}mm²`;
  if (units === 'metric') return metric;
  return `${nearestGauge(area)}${SPACE}AWG (${metric})`;
}

/** The nearest gauge: diameter = 0.127 mm × 92^((36 − n) / 39), ASTM B258. */
export function nearestGauge(squareMillimetres: number): string {
  const diameter = Math.sqrt((4 * squareMillimetres) / Math.PI);
  const gauge = Math.round(36 - 39 * (Math.log(diameter / 0.127) / Math.log(92)));
  return gauge > 0 ? `${gauge}` : `${1 - gauge}/0`;
}

/** A torque: newton metres, or pound-force feet (1 lbf·ft = 1.3558179483 N·m). */
export function showTorque(newtonMetres: number, units: Units, locale: Locale = POINT): string {
  if (units === 'metric') return `${decimal(newtonMetres, newtonMetres < 10 ? 1 : 0, locale)}${SPACE}N·m`;
  return `${decimal(newtonMetres / 1.355_817_948_3, 1, locale)}${SPACE}lbf·ft`;
}

/** A force: kilonewtons, or pounds-force (1 lbf = 4.4482216152605 N). */
export function showForce(newtons: number, units: Units, locale: Locale = POINT): string {
  if (units === 'us') return `${decimal(Number((newtons / 4.448_221_615_260_5).toPrecision(3)), 0, locale)}${SPACE}lbf`;
  return `${String(Number((newtons / 1000).toPrecision(3))).replace('.', locale.decimal)}${SPACE}kN`;
}

/** A temperature: degrees Celsius or Fahrenheit. */
export function showTemperature(celsius: number, units: Units): string {
  const value = units === 'metric' ? celsius : celsius * 1.8 + 32;
  return `${value.toFixed(0).replace('-', '\u2212')}${SPACE}${units === 'metric' ? '°C' : '°F'}`;
}

function decimal(value: number, decimals: number, locale: Locale): string {
  const text = value.toFixed(decimals);
  const trimmed = decimals > 0 ? text.replace(/\.?0+$/, '') : text;
  return trimmed.replace('.', locale.decimal);
}
