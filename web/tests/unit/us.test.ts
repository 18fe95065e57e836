import { describe, expect, test } from 'vitest';
import { nearestGauge, showArea, showLength, showTemperature, showTorque } from '../../src/lib/quantity/us';

const NB = '\u00a0';

describe('US units change only what is shown', () => {
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

  test('lengths, torques and temperatures', () => {
    expect(showLength(0.9, 'metric')).toBe(`900${NB}mm`);
    expect(showLength(2.286, 'us')).toBe(`7${NB}ft${NB}6${NB}in`);
    expect(showLength(0.4, 'us')).toBe(`15.7${NB}in`);
    expect(showTorque(40, 'us')).toBe(`29.5${NB}lbf·ft`);
    expect(showTemperature(-40, 'us')).toBe(`\u221240${NB}°F`);
    expect(showTemperature(20, 'us')).toBe(`68${NB}°F`);
  });
});
