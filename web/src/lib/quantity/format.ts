/** Numbers as people read them, digit for digit as the program writes them: value, no-break space, unit. */

export type Units = 'metric' | 'us';

export interface Locale {
  /** What stands between whole and part: a point or a comma. */
  readonly decimal: '.' | ',';
}

export const POINT: Locale = { decimal: '.' };

/** What is told; the value is in its SI unit, a temperature in kelvin, a share from 0 to 1. */
export type Kind =
  /** A supply voltage, to the hundredth of a volt. */
  | 'volts'
  /** A voltage that is lost, in millivolts below one volt. */
  | 'loss'
  /** A voltage with its sign, plus included. */
  | 'signed'
  /** What is won: a loss with its sign, plus included. */
  | 'gain'
  | 'amperes'
  | 'ohms'
  | 'watts'
  | 'percent'
  | 'duration'
  | 'temperature'
  | 'length'
  | 'torque'
  | 'force'
  | 'capacity';

export interface Form {
  readonly units?: Units | undefined;
  readonly locale?: Locale | undefined;
}

export interface Written {
  readonly number: string;
  readonly unit: string;
}

const SPACE = '\u00a0';
const MINUS = '\u2212';

export const ZERO_CELSIUS = 273.15;
const INCH = 0.0254;
const FOOT = 0.3048;
const POUND_FORCE = 4.448_221_615_260_5;
const POUND_FORCE_FOOT = 1.355_817_948_331_400_3;
/** Below so many watts a calculated value is rounding and no fact. */
const NO_HEAT = 0.0005;
/** Below so many amperes; stray currents between metals are told down to some microamperes. */
const NO_CURRENT = 5e-6;

/** Writes a value as number and unit. */
export function write(value: number, kind: Kind, { units = 'metric', locale = POINT }: Form = {}): Written {
  const { number, unit } = WAYS[kind](value, units);
  return { number: number.replace('.', locale.decimal), unit };
}

/** The same as one text, with a no-break space. */
export function show(value: number, kind: Kind, form: Form = {}): string {
  const { number, unit } = write(value, kind, form);
  return `${number}${SPACE}${unit}`;
}

const WAYS: Readonly<Record<Kind, (value: number, units: Units) => Written>> = {
  volts: (value) => ({ number: fixed(value, 2), unit: 'V' }),
  loss,
  signed: (value) => ({ number: `${value >= 0 ? '+' : ''}${fixed(value, 2)}`, unit: 'V' }),
  gain: (value) => {
    const { number, unit } = loss(value);
    return { number: `${value > 0 ? '+' : ''}${number}`, unit };
  },
  amperes: (value) => scaled(Math.abs(value) < NO_CURRENT ? 0 : value, 'A'),
  ohms: (value) => scaled(value, 'Ω'),
  watts: (value) => scaled(Math.abs(value) < NO_HEAT ? 0 : value, 'W'),
  percent: (value) => {
    const share = value * 100;
    return { number: fixed(share, Math.abs(share) < 9.95 ? 1 : 0), unit: '%' };
  },
  duration: (seconds) => {
    if (seconds < 1) return scaled(seconds, 's');
    if (seconds < 120) return { number: plain(seconds, 3), unit: 's' };
    if (seconds < 7200) return { number: plain(seconds / 60, 3), unit: 'min' };
    return { number: plain(seconds / 3600, 3), unit: 'h' };
  },
  temperature: (kelvin, units) => {
    const celsius = kelvin - ZERO_CELSIUS;
    return units === 'metric'
      ? { number: fixed(celsius, 0), unit: '°C' }
      : { number: fixed(celsius * 1.8 + 32, 0), unit: '°F' };
  },
  length: (metres, units) => {
    if (units === 'metric') {
      return Math.abs(metres) < 0.1
        ? { number: plain(metres * 1e3, 3), unit: 'mm' }
        : { number: plain(metres, 3), unit: 'm' };
    }
    return Math.abs(metres) < 0.9144
      ? { number: plain(metres / INCH, 3), unit: 'in' }
      : { number: plain(metres / FOOT, 3), unit: 'ft' };
  },
  torque: (newtonMetres, units) => {
    if (units === 'metric') return { number: plain(newtonMetres, 3), unit: 'N·m' };
    const feet = newtonMetres / POUND_FORCE_FOOT;
    return feet < 15 ? { number: plain(feet * 12, 3), unit: 'lbf·in' } : { number: plain(feet, 3), unit: 'lbf·ft' };
  },
  force: (newtons, units) =>
    units === 'metric' ? scaled(newtons, 'N') : { number: significant(newtons / POUND_FORCE, 3), unit: 'lbf' },
  capacity: (coulombs) => ({ number: plain(coulombs / 3600, 4), unit: 'Ah' }),
};

function loss(value: number): Written {
  if (Math.abs(value) >= 0.9995) return { number: fixed(value, 2), unit: 'V' };
  const millivolts = value * 1e3;
  const size = Math.abs(millivolts);
  return { number: fixed(millivolts, size < 9.995 ? 2 : size < 99.95 ? 1 : 0), unit: 'mV' };
}

/** Three significant digits and the prefix that fits. */
function scaled(value: number, symbol: string): Written {
  const size = Math.abs(value);
  const [factor, prefix] =
    size === 0
      ? [1, '']
      : size < 0.9995e-3
        ? [1e6, 'µ']
        : size < 0.9995
          ? [1e3, 'm']
          : size < 999.5
            ? [1, '']
            : size < 999.5e3
              ? [1e-3, 'k']
              : [1e-6, 'M'];
  return { number: significant(value * factor, 3), unit: prefix + symbol };
}

/** So many decimals and a true minus sign; never "−0.00". */
export function fixed(value: number, decimals: number): string {
  const text = rounded(Math.abs(value), decimals);
  return value < 0 && /[1-9]/.test(text) ? MINUS + text : text;
}

/** So many significant digits, without an exponent: `0.0123`, `12.3`, `1230`. */
export function significant(value: number, digits: number): string {
  if (value === 0) return '0';
  if (!Number.isFinite(value)) return 'unknown';
  const exponent = Number(value.toExponential(digits - 1).split('e')[1]);
  const decimals = digits - 1 - exponent;
  if (decimals >= 0) return fixed(value, decimals);
  // Digits beyond the significant ones are zeros, not noise.
  const unit = 10 ** -decimals;
  return fixed(Math.sign(value) * Math.round(Math.abs(value) / unit) * unit, 0);
}

/** The same without trailing zeros: `35`, `2.5`, `13.17`. */
export function plain(value: number, digits: number): string {
  const text = significant(value, digits);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** Rounds as the program does: what lies exactly between two goes to the even one, where a browser goes up. */
function rounded(size: number, decimals: number): string {
  const text = size.toFixed(decimals);
  const point = decimals === 0 ? 1 : 0;
  const exact = size.toFixed(Math.min(100, decimals + 60));
  const isTie = /^50*$/.test(exact.slice(text.length + point));
  if (!isTie || Number(text.at(-1)) % 2 === 0) return text;
  // The neighbour below is the number cut off, and its last digit is even.
  return exact.slice(0, text.length);
}

/** The unit of a meter as the way in which its values are told. */
export const KINDS = { V: 'loss', A: 'amperes', Ω: 'ohms' } as const satisfies Record<string, Kind>;

/** An amount of money: whole above twenty, else to a tenth. */
export function money(amount: number, currency: string, locale: Locale = POINT): string {
  const number = fixed(amount, Math.abs(amount) < 20 ? 1 : 0).replace('.', locale.decimal);
  return currency === '' ? number : `${number}${SPACE}${currency}`;
}

/** A probability: never certainty, and never nothing at all. */
export function showChance(share: number, locale: Locale = POINT): string {
  if (share < 0.001) return `under 0${locale.decimal}1${SPACE}%`;
  if (share > 0.995) return `over 99${SPACE}%`;
  return show(share, 'percent', { locale });
}

const SPOKEN: Readonly<Record<string, string>> = {
  V: 'volts',
  A: 'amperes',
  Ω: 'ohms',
  W: 'watts',
};
const PREFIXES: Readonly<Record<string, string>> = { µ: 'micro', m: 'milli', k: 'kilo', M: 'mega' };

/** The same value for the ear: "4.70 milliohms". */
export function speak(value: number, kind: Kind, form: Form = {}): string {
  const { number, unit } = write(value, kind, form);
  const name = SPOKEN[unit.slice(-1)];
  const spoken = name === undefined ? unit : `${PREFIXES[unit.slice(0, -1)] ?? ''}${name}`;
  return `${number.replace(MINUS, 'minus ')} ${spoken}`;
}
