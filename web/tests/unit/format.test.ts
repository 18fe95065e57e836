import { describe, expect, test } from 'vitest';
import {
  prefixOf,
  prefixOfColumn,
  show,
  showLoss,
  showShare,
  showSupply,
  showTime,
  speak,
} from '../../src/lib/quantity/format';

const NB = '\u00a0';

describe('a number as people read it', () => {
  test.each([
    [0.00088, 'Ω', `880${NB}µΩ`],
    [0.0047, 'Ω', `4.70${NB}mΩ`],
    [0.9996, 'Ω', `1.00${NB}Ω`],
    [0.9994, 'Ω', `999${NB}mΩ`],
    [0.3561, 'V', `356${NB}mV`],
    [-0.0686, 'V', `\u221268.6${NB}mV`],
    [477.82, 'A', `478${NB}A`],
    [0.06, 'A', `60.0${NB}mA`],
    [12_345, 'W', `12.3${NB}kW`],
    [0, 'V', `0${NB}V`],
    [-0, 'A', `0${NB}A`],
    [-1.2e-15, 'V', `0${NB}V`],
    [9.996, 'A', `10.0${NB}A`],
  ] as const)('%d %s is written %s', (value, unit, text) => {
    expect(show(value, unit)).toBe(text);
  });

  test('a value that rounds to nothing carries no minus', () => {
    expect(show(-0.00004, 'V', { prefix: 'm', decimals: 1 })).toBe(`0.0${NB}mV`);
  });

  test('a column has the prefix of its largest value', () => {
    expect(prefixOfColumn([0.0001, 0.4, -0.9], 'V')).toBe('m');
    expect(prefixOfColumn([], 'V')).toBe('');
    expect(prefixOf(0.00088, 'Ω')).toBe('µ');
  });

  test('losses are in millivolts below one volt, supplies have two decimals', () => {
    expect(showLoss(0.00042)).toBe(`0.420${NB}mV`);
    expect(showLoss(1.2)).toBe(`1.20${NB}V`);
    expect(showSupply(11.6189)).toBe(`11.62${NB}V`);
  });

  test('a comma is written where the locale has one', () => {
    expect(show(4.7, 'Ω', { locale: { decimal: ',' } })).toBe(`4,70${NB}Ω`);
  });

  test('a share is never a false nothing or a false certainty', () => {
    expect(showShare(0.001)).toBe(`<${NB}1${NB}%`);
    expect(showShare(0.9999)).toBe(`>${NB}99${NB}%`);
    expect(showShare(0.047)).toBe(`4.7${NB}%`);
    expect(showShare(1)).toBe(`100${NB}%`);
    expect(showShare(0)).toBe(`0${NB}%`);
  });

  test('work is told in seconds, then in half and whole minutes', () => {
    expect(showTime(60)).toBe(`60${NB}s`);
    expect(showTime(260)).toBe(`4.5${NB}min`);
    expect(showTime(710)).toBe(`12${NB}min`);
  });

  test('for the ear the unit is a word', () => {
    expect(speak(0.0047, 'Ω')).toBe('4.70 milliohms');
    expect(speak(-0.3, 'V')).toBe('minus 300 millivolts');
  });
});
