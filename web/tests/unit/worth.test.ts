import { describe, expect, test } from 'vitest';
import { firstReadings, firstReadingText, nothingText } from '../../src/lib/work/worth';

describe('what is said where nothing is worth doing', () => {
  test('a sound vehicle is left as it was made', () => {
    expect(nothingText({ nothing: 'sound', made_too_small: [] })).toMatch(/leave it/);
    const short = { load: 'radio', state: 'cranking' };
    expect(nothingText({ nothing: 'sound', made_too_small: [short] })).toContain('radio');
  });
  test('what no step reaches is not called sound', () => {
    for (const nothing of ['elsewhere', 'measure-first'] as const)
      expect(nothingText({ nothing, made_too_small: [] })).not.toMatch(/leave it/);
  });
});

test('which of two ends is bad is told by a reading', () => {
  const reading = { state: 'cranking', seconds: 60, sound: 0.1, information: 1, why_running: null };
  const at = { from: 'ground.to', to: 'main/-', unit: 'V' } as const;
  const joints = ['ground.from', 'ground.to'];
  expect(firstReadingText({ joints, reading: { ...reading, reading: at } })).toMatch(/red on .*, black on /);
  expect(firstReadings([{ joints: ['a.to', 'b.to', 'c.to'], reading: null }])).toEqual([]);
  expect(firstReadingText({ joints, reading: null })).toMatch(/clean both/);
});
