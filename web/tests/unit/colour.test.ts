import { expect, test } from 'vitest';
import { ciede2000, contrast } from './colour';

// Sharma, Wu and Dalal 2005, table 1, pairs 1, 7, 17, 25 and 34.
test.each([
  [[50, 2.6772, -79.7751], [50, 0, -82.7485], 2.0425],
  [[50, 0, 0], [50, -1, 2], 2.3669],
  [[50, 2.5, 0], [73, 25, -18], 27.1492],
  [[60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644],
  [[2.0776, 0.0795, -1.135], [0.9033, -0.0636, -0.5514], 0.9082],
] as const)('the colour difference agrees with published pairs', (a, b, far) => {
  expect(ciede2000(a, b)).toBeCloseTo(far, 4);
});

test('black on white is 21 to 1', () => {
  expect(contrast([0, 0, 0], [1, 1, 1])).toBeCloseTo(21, 9);
});
