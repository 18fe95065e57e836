/** Numbers as people type them: comma or point, a sign, perhaps a unit. The server judges; this only reads. */

export type Asked = 'V' | 'A' | 'Ω';

export type Typed =
  | { readonly kind: 'empty' }
  | { readonly kind: 'value'; readonly value: number; readonly unit: Asked }
  | { readonly kind: 'refused'; readonly why: string };

const FACTORS: Readonly<Record<string, number>> = { k: 1e3, '': 1, m: 1e-3, µ: 1e-6, u: 1e-6 };

const UNITS: Readonly<Record<string, Asked>> = {
  v: 'V',
  volt: 'V',
  volts: 'V',
  a: 'A',
  amp: 'A',
  amps: 'A',
  ampere: 'A',
  amperes: 'A',
  Ω: 'Ω',
  ohm: 'Ω',
  ohms: 'Ω',
  r: 'Ω',
};

/** Reads "0,02", "-12.4", "4,7 mV", "350m"; the unit asked for is meant where none is typed. */
export function readTyped(text: string, asked: Asked): Typed {
  const tidy = text.trim().replaceAll('\u2212', '-').replaceAll('\u2126', 'Ω').replaceAll('\u03bc', 'µ');
  if (tidy === '') return { kind: 'empty' };
  const match = /^([+-]?)\s*(\d+(?:[.,]\d*)?|[.,]\d+)\s*([a-zA-ZµΩ]*)$/u.exec(tidy);
  if (!match) return { kind: 'refused', why: wrongShape(tidy, asked) };
  const [, sign = '', digits = '', word = ''] = match;
  const unit = unitOf(word, asked);
  if (!unit)
    return {
      kind: 'refused',
      why: `“${text.trim()}”: ${word} is no unit of ${NAMES[asked]}; write ${EXAMPLES[asked]}`,
    };
  const value = Number(digits.replace(',', '.')) * unit.factor * (sign === '-' ? -1 : 1);
  return { kind: 'value', value: value === 0 ? 0 : value, unit: unit.unit };
}

const NAMES: Readonly<Record<Asked, string>> = { V: 'voltage', A: 'current', Ω: 'resistance' };
const EXAMPLES: Readonly<Record<Asked, string>> = { V: '0.35 V or 350 mV', A: '120 A', Ω: '4.7 mΩ' };

function wrongShape(text: string, asked: Asked): string {
  if (/\d[.,]\d*[.,]\d/.test(text)) {
    return `“${text}” has two decimal signs: write one, and nothing between thousands`;
  }
  return `“${text}” is no number: write for example ${EXAMPLES[asked]}`;
}

function unitOf(word: string, asked: Asked): { unit: Asked; factor: number } | undefined {
  if (word === '') return { unit: asked, factor: 1 };
  const whole = UNITS[word] ?? UNITS[word.toLowerCase()];
  if (whole) return { unit: whole, factor: 1 };
  const factor = FACTORS[word[0] ?? ''];
  if (factor === undefined) return undefined;
  const rest = word.slice(1);
  if (rest === '') return { unit: asked, factor };
  const unit = UNITS[rest] ?? UNITS[rest.toLowerCase()];
  return unit && { unit, factor };
}

/** Asks, without refusing, when a reading is far from what the vehicle could show. */
export function unlikely(value: number, unit: Asked, nominalVolts: number): string | undefined {
  if (unit === 'V' && Math.abs(value) > nominalVolts * 1.6) {
    return `more than a ${nominalVolts} V vehicle can show`;
  }
  if (unit === 'A' && Math.abs(value) > 3000) return 'more than a starter takes';
  return undefined;
}
