import { describe, expect, test } from 'vitest';
import type { FailureFinding } from '../../src/lib/api/openapi';
import { burnt, chanceText, enduranceText, faultName, findingLines } from '../../src/lib/failures/words';

const endurance = {
  amps: 300,
  at_end_kelvin: 973.15,
  limit_after_seconds: 2.14,
  melts: false,
  melts_after_seconds: 45,
  passes_limit: true,
  state_seconds: 10,
};
const strap: FailureFinding = { kind: 'conductor', name: 'frame-body', before_amps: 40, endurance };
const dead = (name: string): FailureFinding => ({
  kind: 'load',
  name,
  volts: 0,
  dead: true,
  minimum_volts: 9,
  status: 'below-minimum',
});

describe('a failure in words', () => {
  test('a strap that burns is told with its current, its limit and when it would melt, and glows on the plan', () => {
    expect(findingLines([dead('starter'), strap], 'metric')[0]?.text).toBe(
      '300\u00a0A through frame-body: its limit passed in 2.1\u00a0s, melts in 45\u00a0s (the state usually lasts 10\u00a0s)',
    );
    expect(burnt([dead('starter'), strap])).toEqual(new Map([['frame-body', 'burns']]));
  });

  test('a conductor that does not melt says how warm it is at the end, in the person’s unit', () => {
    const own = { ...endurance, melts_after_seconds: null };
    expect(enduranceText(own, 'metric')).toContain('at the end 700\u00a0°C');
    expect(enduranceText(own, 'us')).toContain('at the end 1292\u00a0°F');
  });

  test('a conductor that would pass its limit only after the state is over gets too hot, and is not said to burn', () => {
    const slow = { ...endurance, limit_after_seconds: 30, melts_after_seconds: null };
    const own: FailureFinding = { kind: 'conductor', name: 'block-strap', before_amps: 0, endurance: slow };
    expect(burnt([own])).toEqual(new Map([['block-strap', 'gets too hot']]));
    const always = { ...slow, state_seconds: null };
    expect(burnt([{ ...own, endurance: always }])).toEqual(new Map([['block-strap', 'burns']]));
  });

  test('a hot joint glows at the conductor that it is an end of', () => {
    const joint: FailureFinding = {
      kind: 'joint',
      name: 'a.b.to',
      volts: 0.3,
      watts: 91,
      reaches_kelvin: 508,
      contact: 'melts',
    };
    expect(burnt([joint])).toEqual(new Map([['a.b', 'joint melts']]));
    expect(findingLines([joint], 'metric')[0]?.text).toContain('its metal melts');
  });

  test('many dead loads are told in one breath and counted', () => {
    const lines = findingLines(['a', 'b', 'c', 'd', 'e', 'f', 'g'].map(dead), 'metric');
    expect(lines).toEqual([{ text: 'dead: a, b, c, d and 3 more', harm: false }]);
  });

  test('chances are told in hundredths or as one in so many', () => {
    expect([0.068, 0.01, 0.0063, 0.0004].map((own) => chanceText(own))).toEqual([
      '6.8\u00a0%',
      '1.0\u00a0%',
      '1 in 200',
      '1 in 3000',
    ]);
  });

  test('each kind of failure has its verb', () => {
    const of = (kind: string, times: number | null = null) => faultName({ kind, name: 'x', times });
    expect([of('open'), of('worn', 10), of('blown'), of('battery-lost')]).toEqual([
      'x opens',
      'x wears to 10 times its resistance',
      'x blows',
      'x is lost',
    ]);
  });
});
