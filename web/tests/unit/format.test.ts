/** The page writes numbers as the program does: `vectors/written.json` is what the program makes of each value. */
import { describe, expect, test } from 'vitest';
import { KINDS, type Kind, money, show, showChance, speak, type Units } from '../../src/lib/quantity/format';
import written from '../vectors/written.json';

const NB = '\u00a0';

interface Vector {
  readonly kind: Kind | 'money';
  readonly value: number;
  readonly metric: string;
  readonly us: string;
}

function own({ kind, value }: Vector, units: Units): string {
  return (kind === 'money' ? money(value, 'EUR') : show(value, kind, { units })).replace(NB, ' ');
}

describe('a number as people read it', () => {
  const all = written as readonly Vector[];
  const kinds = [...new Set(all.map(({ kind }) => kind))];

  test.each(kinds)('%s are written as the program writes them', (kind) => {
    const vectors = all.filter((one) => one.kind === kind);
    const pages = vectors.map((one) => ({ ...one, metric: own(one, 'metric'), us: own(one, 'us') }));
    expect(pages).toEqual(vectors);
  });

  test('every way of writing is held against the program', () => {
    expect(kinds.length).toBe(15);
  });

  test('number and unit stay on one line', () => {
    expect(show(0.0047, 'ohms')).toBe(`4.70${NB}mΩ`);
    expect(money(12.4, 'EUR')).toBe(`12.4${NB}EUR`);
    expect(money(40, '')).toBe('40');
  });

  test('a comma is written where the locale has one', () => {
    expect(show(4.7, 'ohms', { locale: { decimal: ',' } })).toBe(`4,70${NB}Ω`);
    expect(money(12.4, 'EUR', { decimal: ',' })).toBe(`12,4${NB}EUR`);
  });

  test('a probability is never a false nothing or a false certainty', () => {
    expect(showChance(0.0004)).toBe(`under 0.1${NB}%`);
    expect(showChance(0.9999)).toBe(`over 99${NB}%`);
    expect(showChance(0.047)).toBe(`4.7${NB}%`);
  });

  test('for the ear the unit is a word', () => {
    expect(speak(0.0047, 'ohms')).toBe('4.70 milliohms');
    expect(speak(-0.3, KINDS.V)).toBe('minus 300 millivolts');
  });
});
