/** Numbers as people type them, read as the program reads them; a unit that is left out is the one asked for. */
import type { Units } from './format';

export type Asked = 'V' | 'A' | 'Ω';

export type Typed =
  | { readonly kind: 'empty' }
  | { readonly kind: 'value'; readonly value: number; readonly unit: Asked }
  | { readonly kind: 'refused'; readonly why: string };

type Table = Readonly<Record<string, number>>;

/** Spellings with what one of them is in the SI unit, as in the program's own table. */
const TABLES: Readonly<Record<Asked, Table>> = {
  V: { V: 1, mV: 1e-3, uV: 1e-6, kV: 1e3, volt: 1, volts: 1, Vdc: 1, millivolts: 1e-3 },
  A: { A: 1, mA: 1e-3, uA: 1e-6, kA: 1e3, amp: 1, amps: 1, ampere: 1, amperes: 1 },
  Ω: {
    ohm: 1,
    mohm: 1e-3,
    uohm: 1e-6,
    kohm: 1e3,
    Mohm: 1e6,
    Gohm: 1e9,
    ohms: 1,
    milliohm: 1e-3,
    milliohms: 1e-3,
    microohm: 1e-6,
    microohms: 1e-6,
    mohms: 1e-3,
    R: 1,
  },
};

const LENGTHS: Table = {
  m: 1,
  cm: 1e-2,
  mm: 1e-3,
  km: 1e3,
  um: 1e-6,
  in: 0.0254,
  ft: 0.3048,
  '"': 0.0254,
  "'": 0.3048,
  inch: 0.0254,
  inches: 0.0254,
  foot: 0.3048,
  feet: 0.3048,
  yd: 3 * 0.3048,
  metre: 1,
  metres: 1,
  meter: 1,
  meters: 1,
};

/** A prefix alone stands before the unit that was asked for: `350m`. */
const PREFIXES: Table = { m: 1e-3, u: 1e-6, k: 1e3 };

/** Beyond this no quantity of a vehicle exists. */
const BEYOND_PHYSICAL = 1e12;
const NUMBER = /^[-+\u2212]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d+)?/u;

/** Reads "0,02", "-12.4", "4,7 mV", "350m". */
export function readTyped(text: string, asked: Asked): Typed {
  const body = text.trim();
  if (body === '') return { kind: 'empty' };
  const found = numberIn(body);
  if (found === null) return { kind: 'refused', why: `“${body}” is no number: write for example ${EXAMPLES[asked]}` };
  const word = body.slice(found.length).trim();
  if (isAmbiguous(found)) {
    return {
      kind: 'refused',
      why: `“${body}” can be read as thousands or as decimals: write a point for decimals and nothing between thousands`,
    };
  }
  const unit = unitOf(spelling(word), asked);
  if (unit === null) return { kind: 'refused', why: wrongUnit(body, word, asked) };
  const value = times(numberOf(found), unit.factor);
  if (Math.abs(value) > BEYOND_PHYSICAL) {
    return { kind: 'refused', why: `“${body}” is larger than anything physical: write for example ${EXAMPLES[asked]}` };
  }
  return { kind: 'value', value: value === 0 ? 0 : value, unit: unit.unit };
}

const NAMES: Readonly<Record<Asked, string>> = { V: 'voltage', A: 'current', Ω: 'resistance' };
const EXAMPLES: Readonly<Record<Asked, string>> = { V: '0.35 V or 350 mV', A: '120 A', Ω: '4.7 mΩ' };

function wrongUnit(body: string, word: string, asked: Asked): string {
  if (/^[.,]\d/.test(word)) return `“${body}” has two decimal signs: write one, and nothing between thousands`;
  if (/^\d/.test(word)) return `“${body}” has two numbers: write one`;
  return `“${body}”: ${word} is no unit of ${NAMES[asked]}; write ${EXAMPLES[asked]}`;
}

/** The number with which a text begins, as it is written. */
function numberIn(text: string): string | null {
  return NUMBER.exec(text)?.[0] ?? null;
}

function numberOf(number: string): number {
  return Number(number.replace('\u2212', '-').replace(',', '.'));
}

/** `1,200` may be one thousand two hundred or one and a fifth; `0,005` is plain. */
function isAmbiguous(number: string): boolean {
  return /^[-+\u2212]?(?!0)\d*,\d{3}$/u.test(number);
}

/** One spelling of the same unit: no blanks or dots, one micro, one ohm. */
function spelling(unit: string): string {
  return unit
    .replace(/[ \u00a0\u202f.·⋅•*\-_]/gu, '')
    .replace(/[\u00b5\u03bc]/gu, 'u')
    .replace(/[\u03a9\u2126]/gu, 'ohm')
    .replaceAll('′', "'")
    .replaceAll('″', '"');
}

/** The spelling that fits exactly, then the only one that fits but for case. */
function factorIn(table: Table, unit: string): number | null {
  const exact = Object.hasOwn(table, unit) ? table[unit] : undefined;
  if (exact !== undefined) return exact;
  const close = Object.keys(table).filter((name) => name.toLowerCase() === unit.toLowerCase());
  return close.length === 1 ? (table[close[0] ?? ''] ?? null) : null;
}

function unitOf(unit: string, asked: Asked): { unit: Asked; factor: number } | null {
  if (unit === '') return { unit: asked, factor: 1 };
  const prefix = PREFIXES[unit];
  if (prefix !== undefined) return { unit: asked, factor: prefix };
  const others = (Object.keys(TABLES) as Asked[]).filter((own) => own !== asked);
  for (const own of [asked, ...others]) {
    const factor = factorIn(TABLES[own], unit);
    if (factor !== null) return { unit: own, factor };
  }
  return null;
}

/** Dividing by a whole number of parts keeps `0.4 mΩ` at 0.0004 to the last digit. */
function times(value: number, factor: number): number {
  return factor < 1 && Number.isInteger(1 / factor) ? value / (1 / factor) : value * factor;
}

/** Reads "0,8", "80 cm", "2 ft 7 in", 2'7"; without a unit, metres or feet as the person counts. Null for anything else. */
export function readLength(text: string, units: Units): number | null {
  const usual = units === 'metric' ? 'm' : 'ft';
  let rest = text.trim();
  let sum = 0;
  for (let part = 0; part === 0 || rest !== ''; part += 1) {
    const number = numberIn(rest);
    if (number === null || isAmbiguous(number)) return null;
    const behind = rest.slice(number.length);
    // A second number begins behind the first one's unit alone.
    const next = part === 0 ? behind.search(/(?<=[\p{L}'].*)\d/u) : -1;
    const unit = spelling((next < 0 ? behind : behind.slice(0, next)).trim());
    rest = next < 0 ? '' : behind.slice(next);
    const isAlone = part === 0 && rest === '';
    const factor = factorIn(LENGTHS, unit === '' && isAlone ? usual : unit);
    if (factor === null) return null;
    sum += times(numberOf(number), factor);
  }
  return Math.abs(sum) <= BEYOND_PHYSICAL ? sum : null;
}

/** Asks, without refusing, when a reading is far from what the vehicle could show. */
export function unlikely(value: number, unit: Asked, nominalVolts: number): string | undefined {
  if (unit === 'V' && Math.abs(value) > nominalVolts * 1.6) {
    return `more than a ${nominalVolts}\u00a0V vehicle can show`;
  }
  if (unit === 'A' && Math.abs(value) > 3000) return 'more than a starter takes';
  return undefined;
}
