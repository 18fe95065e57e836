/** Numbers as people read them: value, no-break space, unit; digits that mean something. */

export type Unit = 'V' | 'A' | 'Ω' | 'W' | 'm' | 'mm²' | '°C' | 's' | 'N·m' | '%';

export interface Locale {
  /** What stands between whole and part: a point or a comma. */
  readonly decimal: '.' | ',';
}

export const POINT: Locale = { decimal: '.' };

const SPACE = '\u00a0';
const MINUS = '\u2212';

const PREFIXES = [
  { name: 'k', factor: 1e3 },
  { name: '', factor: 1 },
  { name: 'm', factor: 1e-3 },
  { name: 'µ', factor: 1e-6 },
] as const;

export type Prefix = (typeof PREFIXES)[number]['name'];

/** Below these, a calculated value is rounding and no fact. */
const NOTHING: Partial<Record<Unit, number>> = { V: 5e-8, A: 5e-7, W: 5e-7, Ω: 5e-9 };

const PREFIXED: ReadonlySet<Unit> = new Set<Unit>(['V', 'A', 'Ω', 'W']);

/** The prefix that writes a value with one to three digits before the decimal sign. */
export function prefixOf(value: number, unit: Unit): Prefix {
  if (!PREFIXED.has(unit)) return '';
  const size = Math.abs(value);
  // 0.9995 is written 1.00, so it belongs to the larger prefix.
  const found = PREFIXES.find((prefix) => size >= prefix.factor * 0.9995);
  if (!found) return size === 0 ? '' : 'µ';
  if (unit !== 'Ω' && found.name === 'k') return size < 10_000 ? '' : 'k';
  return found.name;
}

/** One prefix for a whole column: that of its largest value. */
export function prefixOfColumn(values: readonly number[], unit: Unit): Prefix {
  return prefixOf(
    values.reduce((most, value) => Math.max(most, Math.abs(value)), 0),
    unit,
  );
}

export interface Form {
  readonly prefix?: Prefix;
  /** Digits after the decimal sign; three significant digits when left out. */
  readonly decimals?: number;
  /** Shows a plus sign too: for gains. */
  readonly signed?: boolean;
  readonly locale?: Locale;
}

export interface Written {
  readonly number: string;
  readonly unit: string;
}

/** Writes a value in its SI unit as number and unit with prefix. */
export function write(value: number, unit: Unit, form: Form = {}): Written {
  const nothing = Math.abs(value) < (NOTHING[unit] ?? 0);
  const kept = nothing ? 0 : value;
  const prefix = form.prefix ?? prefixOf(kept, unit);
  const factor = PREFIXES.find(({ name }) => name === prefix)?.factor ?? 1;
  const scaled = kept / factor;
  const decimals = form.decimals ?? significantDecimals(scaled);
  const digits = Math.abs(scaled).toFixed(decimals);
  const isZero = Number(digits) === 0;
  const sign = isZero ? '' : scaled < 0 ? MINUS : form.signed ? '+' : '';
  const decimal = (form.locale ?? POINT).decimal;
  return { number: sign + digits.replace('.', decimal), unit: prefix + unit };
}

/** The same as one text, with a no-break space. */
export function show(value: number, unit: Unit, form: Form = {}): string {
  const { number, unit: name } = write(value, unit, form);
  return `${number}${SPACE}${name}`;
}

function significantDecimals(value: number): number {
  const size = Math.abs(value);
  if (size === 0) return 0;
  // 9.996 is written 10.0, so the rounded value decides.
  const exponent = Math.floor(Math.log10(Number(size.toPrecision(3))));
  return Math.min(6, Math.max(0, 2 - exponent));
}

/** A loss in volts: millivolts below one volt, so that a column of losses compares at a glance. */
export function showLoss(value: number, form: Form = {}): string {
  const prefix = Math.abs(value) >= 0.9995 ? '' : 'm';
  return show(value, 'V', { prefix, ...form });
}

/** The voltage of a supply: volts with two decimals. */
export function showSupply(value: number, form: Form = {}): string {
  return show(value, 'V', { prefix: '', decimals: 2, ...form });
}

/** A share from 0 to 1 in per cent; never a false 0 or 100. */
export function showShare(share: number, locale: Locale = POINT): string {
  const percent = share * 100;
  if (percent > 0 && percent < 0.5) return `<${SPACE}1${SPACE}%`;
  if (percent < 100 && percent >= 99.5) return `>${SPACE}99${SPACE}%`;
  const decimals = percent < 10 ? (Number.isInteger(percent) ? 0 : 1) : 0;
  return `${percent.toFixed(decimals).replace('.', locale.decimal)}${SPACE}%`;
}

/** Time for work: seconds below two minutes, else whole or half minutes. */
export function showTime(seconds: number, locale: Locale = POINT): string {
  if (seconds < 120) return `${Math.round(seconds)}${SPACE}s`;
  const minutes = seconds / 60;
  const digits = minutes < 10 ? (Math.round(minutes * 2) / 2).toString() : Math.round(minutes).toString();
  return `${digits.replace('.', locale.decimal)}${SPACE}min`;
}

/** An amount of money to the whole unit: a price that is a judgement has no cents. */
export function money(amount: number, currency: string): string {
  return `${Math.round(amount)}${currency === '' ? '' : SPACE}${currency}`;
}

const SPOKEN: Readonly<Record<string, string>> = {
  V: 'volts',
  mV: 'millivolts',
  µV: 'microvolts',
  A: 'amperes',
  mA: 'milliamperes',
  µA: 'microamperes',
  kA: 'kiloamperes',
  Ω: 'ohms',
  mΩ: 'milliohms',
  µΩ: 'microohms',
  kΩ: 'kiloohms',
  W: 'watts',
  mW: 'milliwatts',
  µW: 'microwatts',
  kW: 'kilowatts',
  m: 'metres',
  'mm²': 'square millimetres',
  '°C': 'degrees Celsius',
  s: 'seconds',
  N·m: 'newton metres',
  '%': 'per cent',
};

/** The same value for the ear: "4.70 milliohms". */
export function speak(value: number, unit: Unit, form: Form = {}): string {
  const { number, unit: name } = write(value, unit, form);
  return `${number.replace(MINUS, 'minus ')} ${SPOKEN[name] ?? name}`;
}
