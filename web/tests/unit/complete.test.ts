import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { offersFor, placeAt, type Schema } from '../../src/lib/editor/complete';

const schema = JSON.parse(
  readFileSync(new URL('../../../docs/vehicle-file.schema.json', import.meta.url), 'utf8'),
) as Schema;
const labels = (text: string): string[] =>
  offersFor(placeAt(text), schema, ['main/-', 'block/front']).map(({ label }) => label);

describe('what may stand here, by the schema that the program prints', () => {
  test('tables at the beginning of a header', () => {
    expect(labels('[')).toEqual(expect.arrayContaining(['vehicle', 'conductors', 'loads']));
  });

  test('keys in a table', () => {
    expect(labels('[vehicle]\nna')).toEqual(expect.arrayContaining(['name', 'nominal', 'earth']));
    expect(labels('[conductors.main-negative]\n')).toEqual(expect.arrayContaining(['size', 'length', 'from', 'to']));
  });

  test('words as values', () => {
    expect(labels('[vehicle]\nearth = "')).toEqual(['negative', 'positive']);
    expect(labels('[batteries.main]\nchemistry = "AG')).toContain('AGM');
  });

  test('keys and points inside an inline table', () => {
    expect(labels('[conductors.a]\nto = { point = "main/-", ')).toEqual(expect.arrayContaining(['joint', 'torque']));
    expect(labels('[conductors.a]\nto = { point = "bl')).toContain('block/front');
    expect(labels('[conductors.a]\nfrom = "')).toContain('main/-');
  });

  test('nothing where nothing is known', () => {
    expect(labels('[vehicle]\nx-own = "')).toEqual([]);
  });

  test('the place is told as path, key and what is typed', () => {
    expect(placeAt('[conductors.a.to]\ntorque = "40')).toEqual({
      path: ['conductors', 'a', 'to'],
      key: 'torque',
      prefix: '40',
    });
    expect(placeAt('[fuses]\nf = { from = "a, b", ra')).toEqual({ path: ['fuses', 'f'], key: null, prefix: 'ra' });
  });
});
