import { describe, expect, test } from 'vitest';
import { nearestGauge, readLength, showArea, showLength, showTemperature, showTorque } from '../../src/lib/quantity/us';

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

  // 1 ft = 0.3048 m and 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
  test.each([
    ['0,8', 'metric', 0.8],
    [' 80 cm ', 'metric', 0.8],
    ['800mm', 'us', 0.8],
    ['2', 'us', 0.6096],
    ['2 ft 7 in', 'metric', 0.7874],
    ['2\'7"', 'us', 0.7874],
    ['7 in', 'us', 0.1778],
  ] as const)('a length of %s, %s, is %d m', (typed, units, metres) => {
    expect(readLength(typed, units)).toBeCloseTo(metres, 9);
  });

  test.each(['', 'about 2 m', '2 kg', '2 7', '1 m 2 ft 3 in', '-2', '1.2.3 m'])('“%s” is no length', (typed) => {
    expect(readLength(typed, 'metric')).toBeNull();
  });

  test('a length that is shown is read again', () => {
    for (const units of ['metric', 'us'] as const)
      for (const metres of [0.15, 0.4, 0.95, 2.286])
        expect(Math.abs((readLength(showLength(metres, units), units) ?? 0) - metres)).toBeLessThan(0.013);
  });
});
