import { describe, expect, test } from 'vitest';
import { readTyped, unlikely } from '../../src/lib/quantity/parse';

describe('a number as people type it', () => {
  test.each([
    ['0,02', 'V', 0.02, 'V'],
    ['0.02', 'V', 0.02, 'V'],
    ['-12.4', 'A', -12.4, 'A'],
    ['\u221212,4 A', 'A', -12.4, 'A'],
    ['350m', 'V', 0.35, 'V'],
    ['350 mV', 'V', 0.35, 'V'],
    ['4,7 mohm', 'Ω', 0.0047, 'Ω'],
    ['4.7 m\u2126', 'Ω', 0.0047, 'Ω'],
    ['880 µΩ', 'Ω', 0.00088, 'Ω'],
    ['880 \u03bcohm', 'Ω', 0.00088, 'Ω'],
    ['.5', 'V', 0.5, 'V'],
    ['12.', 'V', 12, 'V'],
    ['+3 volts', 'V', 3, 'V'],
    ['0.3 ohm', 'V', 0.3, 'Ω'],
    ['-0', 'V', 0, 'V'],
  ] as const)('%s, asked in %s, is %d %s', (text, asked, value, unit) => {
    const read = readTyped(text, asked);
    expect(read).toMatchObject({ kind: 'value', unit });
    expect(read.kind === 'value' && read.value).toBeCloseTo(value, 12);
  });

  test.each([['1.234,5'], ['12 13'], ['twelve'], ['1e3'], ['--3'], ['5 kg']])(
    '%s is refused with its own words',
    (text) => {
      const read = readTyped(text, 'V');
      expect(read.kind).toBe('refused');
      expect(read.kind === 'refused' && read.why).toMatch(/“.*”/);
    },
  );

  test('nothing typed is no error', () => {
    expect(readTyped('  ', 'V')).toEqual({ kind: 'empty' });
  });

  test('an outlier is doubted, an ordinary value is not', () => {
    expect(unlikely(112, 'V', 12)).toContain('12 V');
    expect(unlikely(14.4, 'V', 12)).toBeUndefined();
    expect(unlikely(56, 'V', 48)).toBeUndefined();
  });
});
