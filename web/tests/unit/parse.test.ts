/** The page reads numbers as the program does: `vectors/read.json` is what the program makes of each text. */
import { describe, expect, test } from 'vitest';
import { show } from '../../src/lib/quantity/format';
import { readLength, readTyped, unlikely } from '../../src/lib/quantity/parse';
import read from '../vectors/read.json';

const UNITS = { voltage: 'V', current: 'A', resistance: 'Ω' } as const;

/** The value in the unit that was asked for; null where there is none. */
function typed(dimension: string, text: string): number | null {
  if (dimension === 'length') return readLength(text, 'metric');
  const asked = UNITS[dimension as keyof typeof UNITS];
  const found = readTyped(text, asked);
  return found.kind === 'value' && found.unit === asked ? found.value : null;
}

test.each(read)('$text is read as the program reads it, as a $dimension', ({ dimension, text, value }) => {
  expect(typed(dimension, text)).toBe(value);
});

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

  test.each([['1.234,5'], ['12 13'], ['twelve'], ['1,200'], ['--3'], ['5 kg']])(
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
    expect(unlikely(112, 'V', 12)).toContain('12\u00a0V');
    expect(unlikely(14.4, 'V', 12)).toBeUndefined();
    expect(unlikely(56, 'V', 48)).toBeUndefined();
  });
});

describe('a length as people type it', () => {
  // 1 ft = 0.3048 m and 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
  test.each([
    ['0,8', 'metric', 0.8],
    [' 80 cm ', 'metric', 0.8],
    ['2', 'us', 0.6096],
    ['2\'7"', 'us', 0.7874],
  ] as const)('%s, %s, is %d m', (text, units, metres) => {
    expect(readLength(text, units)).toBeCloseTo(metres, 9);
  });

  test.each(['', 'about 2 m', '2 kg', '2 7', '1 m 2 ft 3 in', '1.2.3 m'])('“%s” is no length', (text) => {
    expect(readLength(text, 'metric')).toBeNull();
  });

  test('what is shown is read again', () => {
    for (const units of ['metric', 'us'] as const)
      for (const metres of [0.15, 0.4, 0.95, 2.286])
        expect(Math.abs((readLength(show(metres, 'length', { units }), units) ?? 0) - metres)).toBeLessThan(0.013);
  });
});
