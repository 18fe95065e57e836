/** How warm the thing on a card gets in a state, and what it could carry, in the words of the command line. */
import type { Heat, RestingConductor, WarmConductor, WarmJoint } from '../api/openapi';
import { type Locale, POINT, show, soon, type Units, ZERO_CELSIUS } from '../quantity/format';

type Place = 'name' | 'bears_amps' | 'surroundings' | 'on_metal' | 'bundle' | 'air_kelvin' | 'limit_kelvin';
type Course = 'duty_share' | 'at_end_kelvin' | 'settled_kelvin' | 'limit_after_seconds';

/** As much of the answer as cards show: a report carries no more. */
export interface HeatShown extends Pick<Heat, 'seconds' | 'found'> {
  readonly conductors_by_warmth: readonly Pick<WarmConductor, Place | Course>[];
  readonly joints_by_warmth: readonly Pick<
    WarmJoint,
    'name' | 'watts' | 'reaches_kelvin' | 'softens_kelvin' | 'contact'
  >[];
  readonly resting: readonly Pick<RestingConductor, Place>[];
}

export interface ConductorWarmth {
  /** What it bears for ever. */
  readonly bears: number;
  /** What surrounds it meanwhile. */
  readonly where: string;
  /** How warm it gets; null where it carries nothing. */
  readonly gets: string | null;
  /** What it must not pass, and when it would. */
  readonly limit: string;
  /** It passes its limit in this state. */
  readonly bad: boolean;
  readonly hot: boolean;
}

export interface JointWarmth {
  readonly watts: number;
  readonly hottest: string;
  /** What becomes of its metal; null for nothing. */
  readonly harm: string | null;
}

/** From here on a touch of ten minutes burns, whatever the material (ISO 13732-1, from memory). */
const BURNS_KELVIN = ZERO_CELSIUS + 48;
/** Less heat than this is not worth saying of a joint that comes to no harm, as on the command line. */
const LEAST_WATTS = 0.5;

export const STILL_AIR = 'Still air, a constant current from cold; within about a tenth of published ratings.';
export const BURNING = 'Too hot to hold is burning hot: switch off and let it cool before touching.';
export const HOTTEST_SPOT =
  'Hottest if all that it loses beyond a sound joint is lost in one spot: a warning, not a temperature.';

/** Of a conductor; null where its size or length is not known. */
export function conductorWarmth(
  id: string,
  heat: HeatShown,
  insulated: boolean,
  units: Units,
  locale: Locale = POINT,
): ConductorWarmth | null {
  const degrees = (kelvin: number): string => show(kelvin, 'temperature', { units });
  const warm = heat.conductors_by_warmth.find(({ name }) => name === id);
  const own = warm ?? heat.resting.find(({ name }) => name === id);
  if (!own) return null;
  const place = [
    `in air of ${degrees(own.air_kelvin)}${own.surroundings === 'engine space' ? ' in the engine space' : ''}`,
    ...(own.on_metal ? ['clipped along metal'] : []),
    ...(own.bundle > 1 ? [`in a bundle of ${own.bundle}`] : []),
  ];
  const limit = `${degrees(own.limit_kelvin)}${insulated ? ', its insulation’s' : ', of bare metal'}`;
  const common = { bears: own.bears_amps, where: place.join(', ') };
  if (!warm) return { ...common, gets: null, limit, bad: false, hot: own.air_kelvin >= BURNS_KELVIN };
  const after = warm.limit_after_seconds;
  const settles = warm.settled_kelvin === null ? 'would melt in time' : `settles at ${degrees(warm.settled_kelvin)}`;
  const duty = warm.duty_share < 1 ? ` with the duty of its load, ${show(warm.duty_share, 'percent', { locale })}` : '';
  return {
    ...common,
    gets: `${degrees(warm.at_end_kelvin)} in ${soon(heat.seconds, locale)}; ${settles}${duty}`,
    limit: `${limit}; ${after === null ? 'never passed at this current' : `passed in ${soon(after, locale)}${after > heat.seconds ? ' if it went on' : ''}`}`,
    bad: warm.at_end_kelvin > warm.limit_kelvin,
    hot: warm.at_end_kelvin >= BURNS_KELVIN,
  };
}

/** Of a joint; null where it is not worth saying. */
export function jointWarmth(id: string, heat: HeatShown, units: Units): JointWarmth | null {
  const own = heat.joints_by_warmth.find(({ name }) => name === id);
  if (!own || (own.contact === null && own.watts < LEAST_WATTS)) return null;
  const softens = `too hot from ${show(own.softens_kelvin, 'temperature', { units })} on: its plating or insulation suffers`;
  return {
    watts: own.watts,
    hottest: show(own.reaches_kelvin, 'temperature', { units }),
    harm: own.contact === null ? null : own.contact === 'softens' ? softens : 'its metal melts',
  };
}
