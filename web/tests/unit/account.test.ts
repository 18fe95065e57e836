import { describe, expect, test } from 'vitest';
import type { Entry, Work } from '../../src/lib/api/garage';
import type { Picture } from '../../src/lib/api/picture';
import type { Diagnosis } from '../../src/lib/api/types';
import { actsOn, pastOf } from '../../src/lib/card/past';
import { POINT } from '../../src/lib/quantity/format';
import { accountOf, valueName } from '../../src/lib/readings/account';
import { learnNames, measuredName, probeName } from '../../src/lib/words';

const base = {
  nothing_bad: 0,
  readings: [
    { number: 3, measured: { volts: { red: 'block/front', black: 'main/-' } } },
    { number: 8, measured: { volts: { red: 'block/front', black: 'main-negative.to' } } },
    { number: 9, measured: { amps: { through: 'strap', towards: 'block/front' } } },
  ],
};

function diagnosis(account: object[]): Diagnosis {
  return { ...base, account } as unknown as Diagnosis;
}

describe('why a fault is believed', () => {
  learnNames([
    { id: 'main-negative.to', point: 'block/front' },
    { id: 'main-negative.from', point: 'main/-' },
  ]);

  test('the drop, the current, what it should cost, and the reading that acquits the other joint', () => {
    const [words] = accountOf(
      diagnosis([
        {
          suspect: { kind: 'joint', id: 'main-negative.to' },
          telling: {
            number: 3,
            state: 'cranking',
            shown_volts: 0.428,
            expected_volts: 0.0894,
            amps: 201,
            joints: ['main-negative.to', 'main-negative.from'],
          },
          rivals: [{ id: 'main-negative.from', against: [{ number: 8, shown: 0.362, would: 0.0264 }] }],
          without: [],
          ohms: 0.0018,
          state: 'cranking',
          amps: -201,
        },
      ]),
      POINT,
    );
    expect(words?.replaceAll('\u00a0', ' ')).toBe(
      'From block\u2009/\u2009front to main\u2009/\u2009\u2212 428 mV are lost, cranking (reading 3). At the 201 A that flow there now 89.4 mV would be right: 339 mV too much. 2 joints lie there: main-negative at block\u2009/\u2009front and main-negative at main\u2009/\u2009\u2212. Were it main-negative at main\u2009/\u2009\u2212 instead, reading 8 (block\u2009/\u2009front to the lug of main-negative at block\u2009/\u2009front) would show 26.4 mV and not 362 mV.',
    );
  });

  test('a path that the file lacks is told by where to look and by what speaks for it', () => {
    const [words] = accountOf(
      diagnosis([
        {
          suspect: { kind: 'extra-path', from: 'block/front', to: 'frame/front' },
          telling: null,
          rivals: [],
          without: [{ number: 9, shown: 114, would: 57.4 }],
          ohms: 0.00102,
          state: 'cranking',
          amps: -150,
        },
      ]),
      POINT,
    );
    expect(words).toContain('joins block and frame');
    expect(words?.replaceAll('\u00a0', ' ')).toContain('reading 9 (clamp round strap) would show 57.4 A and not 114 A');
  });

  test('a joint that no reading tells from the suspect is named', () => {
    const [words] = accountOf(
      diagnosis([
        {
          suspect: { kind: 'joint', id: 'main-negative.to' },
          telling: { number: 3, state: 'cranking', shown_volts: 0.4, expected_volts: 0.1, amps: 200, joints: [] },
          rivals: [{ id: 'main-negative.from', against: [] }],
          without: [],
          ohms: null,
          state: null,
          amps: null,
        },
      ]),
      POINT,
    );
    expect(words).toMatch(/No reading tells main-negative at main.* from main-negative at block/);
  });
});

test('a lead on a lug is another place than one on its stud', () => {
  learnNames([{ id: 'main-negative.to', point: 'block/front' }]);
  expect(probeName('main-negative.to')).toMatch(/^the lug of main-negative at block/);
  expect(probeName('block/front')).not.toContain('lug');
  expect(measuredName({ moved: { joint: 'main-negative.to' } })).toContain('pushing on');
  expect(valueName(10.934, { volts: { red: 'a', black: 'b' } }, POINT)).toBe('10.93\u00a0V');
});

test('the past of a conductor is that of its joints too, the latest first, without what was taken back', () => {
  const picture = {
    conductors: [{ id: 'strap', from_joint: 'strap.from', to_joint: 'strap.to' }],
  } as unknown as Picture;
  const reading = (cid: string, taken: string, retracted = false): Entry =>
    ({
      cid,
      taken,
      retracted,
      text: cid,
      meaning: { kind: 'reading', measured: { amps: { through: 'strap', towards: 'block/front' } } },
    }) as unknown as Entry;
  const work = { cid: 'w', on: 'strap.to', what: 'cleaned', when: '2026-11-26T10:00:00Z', retracted: false } as Work;
  const other = { ...work, cid: 'o', on: 'elsewhere' } as Work;
  const acts = actsOn(
    'strap',
    picture,
    [
      reading('a', '2026-11-26T09:00:00Z'),
      reading('b', '2026-11-26T11:00:00Z'),
      reading('c', '2026-11-26T12:00:00Z', true),
    ],
    [work, other],
  );
  expect(pastOf(acts).map(({ id }) => id)).toEqual(['b', 'w', 'a']);
});
