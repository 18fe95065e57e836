import { describe, expect, test } from 'vitest';
import { conductorWarmth, type HeatShown, jointWarmth } from '../../src/lib/card/warmth';
import { soon } from '../../src/lib/quantity/format';

const SPACE = '\u00a0';
const place = { surroundings: 'engine space', on_metal: false, bundle: 1, air_kelvin: 353.15 } as const;
const heat: HeatShown = {
  seconds: 60,
  found: true,
  conductors_by_warmth: [
    {
      ...place,
      name: 'winch.feed',
      bears_amps: 165,
      duty_share: 0.05,
      at_end_kelvin: 361.2,
      settled_kelvin: 356.4,
      limit_kelvin: 378.15,
      limit_after_seconds: 222,
    },
    {
      ...place,
      name: 'strap',
      bears_amps: 20,
      duty_share: 1,
      on_metal: true,
      bundle: 3,
      at_end_kelvin: 620,
      settled_kelvin: null,
      limit_kelvin: 423.15,
      limit_after_seconds: 12.4,
    },
  ],
  joints_by_warmth: [
    { name: 'strap.to', watts: 4.57, reaches_kelvin: 408.15, softens_kelvin: 368.15, contact: 'softens' },
    { name: 'strap.from', watts: 0.4, reaches_kelvin: 300, softens_kelvin: 480, contact: null },
  ],
  resting: [
    { ...place, surroundings: 'inside', name: 'idle', bears_amps: 40, limit_kelvin: 378.15, air_kelvin: 293.15 },
  ],
};

describe('what a card says of warmth', () => {
  test('a cable that bears its state says when it would not, with the duty of its load', () => {
    expect(conductorWarmth('winch.feed', heat, true, 'metric')).toEqual({
      bears: 165,
      where: `in air of 80${SPACE}°C in the engine space`,
      gets: `88${SPACE}°C in 60${SPACE}s; settles at 83${SPACE}°C with the duty of its load, 5.0${SPACE}%`,
      limit: `105${SPACE}°C, its insulation’s; passed in 3.7${SPACE}min if it went on`,
      bad: false,
      hot: true,
    });
  });

  test('a strap that passes its limit while the state lasts is a finding', () => {
    const own = conductorWarmth('strap', heat, false, 'us');
    expect(own?.bad).toBe(true);
    expect(own?.where).toBe(`in air of 176${SPACE}°F in the engine space, clipped along metal, in a bundle of 3`);
    expect(own?.gets).toContain('would melt in time');
    expect(own?.limit).toBe(`302${SPACE}°F, of bare metal; passed in 12${SPACE}s`);
  });

  test('a cable that carries nothing still says what it could carry, one of unknown size says nothing', () => {
    expect(conductorWarmth('idle', heat, true, 'metric')).toMatchObject({
      bears: 40,
      gets: null,
      bad: false,
      hot: false,
    });
    expect(conductorWarmth('unknown', heat, true, 'metric')).toBeNull();
  });

  test('a joint is spoken of when its metal suffers or it makes half a watt', () => {
    expect(jointWarmth('strap.to', heat, 'metric')).toEqual({
      watts: 4.57,
      hottest: `135${SPACE}°C`,
      harm: `too hot from 95${SPACE}°C on: its plating or insulation suffers`,
    });
    expect(jointWarmth('strap.from', heat, 'metric')).toBeNull();
  });

  test('times are told in two digits', () => {
    expect([0.03, 4, 222, 8000, 72_000].map((own) => soon(own))).toEqual(
      ['under 0.1 s', '4 s', '3.7 min', '2.2 h', '20 h'].map((own) => own.replace(/ (?=\S+$)/, SPACE)),
    );
  });
});
