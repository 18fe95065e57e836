import { describe, expect, test } from 'vitest';
import type { Picture } from '../../src/lib/api/picture';
import type { Probe, SolvedState } from '../../src/lib/api/types';
import { signQuestion, soundOf, upright, withSign } from '../../src/lib/readings/sign';
import { readingText, valueText } from '../../src/lib/readings/write';

const picture = {
  conductors: [{ id: 'main-negative', from: 'main/-', to: 'block/front' }],
} as unknown as Picture;
const solved = {
  found: true,
  points: { 'main/-': { volts: 0 }, 'block/front': { volts: 0.147 } },
  conductors: { 'main-negative': { amps: -215 } },
} as unknown as SolvedState;

describe('a sign that does not fit', () => {
  test('a minus left off is asked about, and a plus that was typed is the answer', () => {
    expect(signQuestion('0.147', 0.147, -0.147, 'V')).toBe('minus');
    expect(signQuestion('0.6', 0.6, -0.147, 'V')).toBe('minus');
    expect(signQuestion('+0.147', 0.147, -0.147, 'V')).toBeNull();
    expect(signQuestion('-0.147', -0.147, -0.147, 'V')).toBeNull();
  });

  test('a minus where a sound vehicle shows none is asked about as well', () => {
    expect(signQuestion('-10.93', -10.93, 11.42, 'V')).toBe('crossed');
    expect(signQuestion('-30', -30, 42, 'A')).toBe('crossed');
  });

  test('nobody is asked about the last digits, nor where nothing is known', () => {
    expect(signQuestion('0.002', 0.002, -0.147, 'V')).toBeNull();
    expect(signQuestion('0.147', 0.147, -0.001, 'V')).toBeNull();
    expect(signQuestion('0.3', 0.3, -40, 'A')).toBeNull();
    expect(signQuestion('0.147', 0.147, null, 'V')).toBeNull();
  });

  test('the answer is put before what was typed, and the program reads it', () => {
    expect([withSign('0,147', '-'), withSign('-0.147', ''), withSign('\u2212 5', '+'), withSign('147m', '+')]).toEqual([
      '-0,147',
      '0.147',
      '+5',
      '+147m',
    ]);
    const probe: Probe = { from: 'main/-', to: 'block/front', unit: 'V' };
    expect(readingText('cranking', probe, valueText(withSign('0,147', '+'), 'V', false))).toBe(
      'cranking: main/- to block/front +0.147 V',
    );
  });
});

describe('what a sound vehicle shows', () => {
  test('is red less black, and counted along the arrow of a clamp', () => {
    expect(soundOf({ from: 'main/-', to: 'block/front', unit: 'V' }, solved, picture)).toBeCloseTo(-0.147);
    const along: Probe = { through: 'main-negative', towards: 'block/front', unit: 'A' };
    expect(soundOf(along, solved, picture)).toBe(-215);
    expect(soundOf(along, null, picture)).toBeNull();
    const turned = upright(along, solved, picture);
    expect(turned).toEqual({ ...along, towards: 'main/-' });
    expect(soundOf(turned, solved, picture)).toBe(215);
    expect(upright(turned, solved, picture)).toBe(turned);
  });
});
