import { describe, expect, test } from 'vitest';
import { readEvent } from '../../src/app/events';
import { placeHash, readPlace } from '../../src/app/route';
import { NoConnection } from '../../src/lib/api/client';
import { LEAST, MOST, STEPS, toOhms, toStep } from '../../src/lib/card/slide';
import { holdsReadings, textOf } from '../../src/lib/files';
import { addOhms } from '../../src/lib/live/cable';
import type { Drawer } from '../../src/lib/queue/drawer';
import { readingText, valueText } from '../../src/lib/readings/write';
import { learnNames, nameOf, word } from '../../src/lib/words';
import { RememberingAsk } from '../../src/phone/remembering';

describe('a reading as the program reads it', () => {
  test('volts, amperes, commas, units of one’s own', () => {
    expect(
      readingText('cranking', { from: 'block/front', to: 'main/-', unit: 'V' }, valueText('0,41', 'V', false)),
    ).toBe('cranking: block/front to main/- 0.41 V');
    expect(
      readingText(
        'cranking',
        { through: 'main-negative', towards: 'block/front', unit: 'A' },
        valueText('\u2212229', 'A', false),
      ),
    ).toBe('cranking: main-negative towards block/front -229 A');
    expect(valueText('440', 'V', true)).toBe('440 mV');
    expect(valueText('0.3 ohm', 'V', true)).toBe('0.3 ohm');
  });
});

test('the slider covers a clean joint to nearly open, and comes back to where it was', () => {
  expect(toOhms(0)).toBeCloseTo(LEAST, 12);
  expect(toOhms(STEPS)).toBeCloseTo(MOST, 12);
  for (const ohms of [2e-5, 1e-4, 0.0047, 0.3]) expect(toOhms(toStep(ohms)) / ohms).toBeCloseTo(1, 1);
});

test('a new cable has the resistance of its copper and two joints', () => {
  // IEC 60228: 25 mm², class 5, 0.780 Ω/km at 20 °C is the most allowed; pure copper of the full area has less.
  const perKilometre = addOhms({ metres: 1000, squareMillimetres: 25 }) - addOhms({ metres: 0, squareMillimetres: 25 });
  expect(perKilometre).toBeLessThan(0.78);
  expect(perKilometre).toBeGreaterThan(0.65);
});

test('an address names a vehicle and a sheet, and wrong ones do no harm', () => {
  expect(readPlace('#/12/readings')).toEqual({ vehicle: 12, sheet: 'readings' });
  expect(readPlace('#/12/nonsense')).toEqual({ vehicle: 12, sheet: 'plan' });
  expect(readPlace('')).toEqual({ vehicle: null, sheet: 'plan' });
  expect(placeHash({ vehicle: 3, sheet: 'hand-on' })).toBe('#/3/hand-on');
});

test('events of the stream are read, remarks and rubbish are not', () => {
  expect(readEvent('event: vehicle\nid: 4\ndata: {"vehicle":1}')).toEqual({ kind: 'vehicle', data: { vehicle: 1 } });
  expect(readEvent(': still here')).toBeNull();
  expect(readEvent('event: x\ndata: {')).toBeNull();
});

test('names are told by their place, words by the region', () => {
  learnNames([{ id: 'main-negative.to', point: 'block/front' }]);
  expect(nameOf('main-negative.to')).toBe('main-negative at block\u2009/\u2009front');
  expect(nameOf('main/-')).toBe('main\u2009/\u2009\u2212');
  expect(nameOf('block/rear..bellhousing')).toBe('block: rear to bellhousing');
  expect(nameOf('starter.case')).toBe('starter, case');
  expect([word('earth', 'british'), word('earth', 'american')]).toEqual(['earth', 'ground']);
});

test('an answer that was given once is there without a connection; another question is not', async () => {
  const kept = new Map<string, string>();
  const drawer: Drawer = { get: (key) => kept.get(key) ?? null, set: (key, value) => void kept.set(key, value) };
  let up = true;
  const ask = new RememberingAsk(
    {
      ask: () => (up ? Promise.resolve({ drawing: null, problems: [] } as never) : Promise.reject(new NoConnection())),
    },
    drawer,
    '1',
  );
  await ask.ask('picture', {});
  up = false;
  expect(await ask.ask('picture', {})).toEqual({ drawing: null, problems: [] });
  await expect(ask.ask('solve', { state: 'cranking' })).rejects.toThrow(NoConnection);
});

test('a file that is no UTF-8 is named and not mended in silence; a mark at the beginning stays', async () => {
  const file = (name: string, bytes: number[]) => ({
    name,
    size: bytes.length,
    arrayBuffer: async () => new Uint8Array(bytes).buffer,
  });
  await expect(textOf(file('old.toml', [0x6d, 0xb5]))).rejects.toThrow(/old\.toml is no text in UTF-8/);
  expect(await textOf(file('new.toml', [0xef, 0xbb, 0xbf, 0x6d]))).toBe('\ufeffm');
  expect(['a.readings.toml', 'b.CSV', 'c.txt'].every(holdsReadings)).toBe(true);
  expect(holdsReadings('van.toml')).toBe(false);
});
