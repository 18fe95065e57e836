import { expect, test } from 'vitest';
import { whole } from '../../src/report/once';
import vectors from '../vectors/once.json';

test('what the program writes once is whole again on the page', () => {
  expect(JSON.stringify(vectors.written)).toContain('"="');
  expect(whole(vectors.written)).toEqual(vectors.whole);
  expect(whole(null)).toBeNull();
});
