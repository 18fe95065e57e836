import { expect, test } from 'vitest';
import { addedBy } from '../../src/lib/card/judge';

test('the cable that a repair adds is told from other repairs', () => {
  const add = { from: 'main/-', to: 'block/front', size: '35 mm²', metres: 0.65, ohms: 0.00056, amps: 311 };
  expect(addedBy({ add })).toEqual({ from: 'main/-', to: 'block/front', squareMillimetres: 35, metres: 0.65 });
  expect(addedBy({ add: { ...add, size: '2 AWG' } })).toBeNull();
  expect(addedBy({ clean: 'strap.to' })).toBeNull();
});
