import { expect, test } from 'vitest';
import type { Entry, Work } from '../../src/lib/api/garage';
import type { Picture } from '../../src/lib/api/picture';
import { actsOn, pastOf } from '../../src/lib/card/past';
import { learnNames, probeName } from '../../src/lib/words';

test('a lead on a lug is another place than one on its stud', () => {
  learnNames([{ id: 'main-negative.to', point: 'block/front' }]);
  expect(probeName('main-negative.to')).toMatch(/^the lug of main-negative at block/);
  expect(probeName('block/front')).not.toContain('lug');
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

test('a reading at the bare strand belongs to the joint, the crimp and the conductor of that end', () => {
  const picture = {
    conductors: [{ id: 'strap', from_joint: 'strap.from', to_joint: 'strap.to' }],
  } as unknown as Picture;
  const measured = { volts: { red: 'strap.to.strand', black: 'block/front' } };
  const taken = { cid: 'a', taken: '2026-11-26T09:00:00Z', text: 'a', meaning: { kind: 'reading', measured } };
  const acts = (thing: string): number => actsOn(thing, picture, [taken as unknown as Entry], []).length;
  expect(['strap', 'strap.to', 'strap.to.crimp'].map(acts)).toEqual([1, 1, 1]);
  expect(['strap.from', 'strap.from.crimp'].map(acts)).toEqual([0, 0]);
});
