import { describe, expect, test } from 'vitest';
import type { FailureFinding } from '../../src/lib/api/openapi';
import { burnt } from '../../src/lib/failures/burnt';

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

describe('what a failure burns', () => {
  test('glows on the plan, and loads that are dead do not', () => {
    expect(burnt([dead('starter'), strap])).toEqual(new Map([['frame-body', 'burns']]));
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
  });
});
