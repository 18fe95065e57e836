import { describe, expect, test } from 'vitest';
import { nearestGauge, showArea } from '../../src/lib/quantity/area';

const NB = '\u00a0';

describe('a size in either unit', () => {
  // ASTM B258-18, table 1: areas of solid round wires in square millimetres.
  test.each([
    [53.49, '1/0'],
    [107.2, '4/0'],
    [33.62, '2'],
    [13.3, '6'],
    [2.081, '14'],
    [0.8231, '18'],
  ])('%d mm² is gauge %s', (area, gauge) => {
    expect(nearestGauge(area)).toBe(gauge);
  });

  test('an area keeps its true value beside the gauge', () => {
    expect(showArea(35e-6, 'us')).toBe(`2${NB}AWG (35${NB}mm²)`);
    expect(showArea(2.5e-6, 'metric')).toBe(`2.5${NB}mm²`);
  });
});
