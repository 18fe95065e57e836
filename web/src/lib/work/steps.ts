/** What has to be done, in order, for one repair. Trade practice; the maker's procedure overrides it. */
import type { Picture } from '../api/picture';
import type { Action } from '../api/types';
import { showLength, showTorque, type Units } from '../quantity/us';
import { nameOf } from '../words';

export interface Step {
  readonly text: string;
  readonly caution?: boolean;
}

const ISOLATE: readonly Step[] = [
  {
    text: 'Rings and watch off. Battery ventilated: hydrogen, so no spark and no flame. Eye protection.',
    caution: true,
  },
  {
    text: 'Ignition off and key away; wait as long as the maker says for restraint systems and modules. Negative off first. Cover the positive post.',
    caution: true,
  },
];

const CLOSE: readonly Step[] = [
  { text: 'Negative on last. Radio codes, window and steering learning as the maker says.' },
  { text: 'Take the same reading again and write both down below.' },
];

/** Steps of a job, for its sheet. */
export function stepsOf(action: Action, picture: Picture, units: Units): Step[] {
  if ('clean' in action) return [...ISOLATE, ...cleaning(action.clean, picture, units), ...CLOSE];
  if ('replace_end' in action) return [...ISOLATE, ...newEnd(action.replace_end, picture, units), ...CLOSE];
  if ('replace' in action) return [...ISOLATE, ...replacing(action.replace, picture, units), ...CLOSE];
  if ('enlarge' in action) {
    const { conductor, size } = action.enlarge;
    return [...ISOLATE, ...replacing(conductor, picture, units, size), ...CLOSE];
  }
  const { from, to, metres, size } = action.add;
  return [
    ...ISOLATE,
    {
      text: `Make a cable of ${showLength(metres, units)} or the least that the route allows, of ${size}, with a crimped and sealed lug at each end.`,
    },
    {
      text: `Bare bright metal, a hand wide, at ${nameOf(from)} and at ${nameOf(to)}. Lug flat on metal, washer under the nut, never between lug and metal.`,
    },
    {
      text: 'Route it clear of heat, edges and moving parts; clip it so that it cannot chafe. A feed cable needs a fuse at its source.',
    },
    { text: 'Tighten as the maker or the fastener’s table says. Wax or grease over the finished joint.' },
    ...CLOSE,
  ];
}

function torqueOf(joint: string, picture: Picture, units: Units): string {
  const torque = picture.joints.find(({ id }) => id === joint)?.torque_newton_metres ?? null;
  return torque === null
    ? 'Tighten to the maker’s torque (the file gives none).'
    : `Tighten to ${showTorque(torque, units)} (from the file; the maker’s figure overrides it).`;
}

function cleaning(joint: string, picture: Picture, units: Units): Step[] {
  const own = picture.joints.find(({ id }) => id === joint);
  const at = own ? `${own.kind} at ${nameOf(own.point)}` : nameOf(joint);
  return [
    {
      text: `Open ${nameOf(joint)} (${at}). Look at it before cleaning: colour, heat marks, looseness, broken strands at the crimp. Photograph it.`,
    },
    {
      text: 'Clean both faces to bare bright metal, and the thread. No paint under the lug; plating stays where it is sound.',
    },
    { text: 'Lug flat on metal, washer under the nut or bolt head, the thickest cable nearest the metal.' },
    { text: torqueOf(joint, picture, units) },
    {
      text: 'Pull on it by hand: it must not move. Protect the outside with wax or petroleum jelly, after tightening.',
    },
  ];
}

function newEnd(joint: string, picture: Picture, units: Units): Step[] {
  return [
    {
      text: `Open ${nameOf(joint)}. Cut the cable back until every strand is bright; is it too short then, replace it whole.`,
    },
    { text: 'Crimp a new lug of the cable’s size with the right die, and seal it. Pull on it by hand.' },
    ...cleaning(joint, picture, units).slice(1),
  ];
}

function replacing(conductor: string, picture: Picture, units: Units, larger?: string): Step[] {
  const own = picture.conductors.find(({ id }) => id === conductor);
  const ends = own ? [own.from_joint, own.to_joint].filter((joint) => joint !== null) : [];
  const wanted = larger ?? own?.size;
  const size = wanted ? `, ${wanted} or larger` : '';
  const length = own?.metres ? `, ${showLength(own.metres, units)}` : '';
  return [
    {
      text: `Take ${nameOf(conductor)} off at both ends. Bend it by hand: crackling or stiff strands are rotten inside.`,
    },
    { text: `Fit a new one${size}${length}, lugs crimped with the right die and sealed.` },
    { text: 'Both faces at both ends to bare bright metal.' },
    ...ends.map((joint) => ({ text: `${nameOf(joint)}: ${torqueOf(joint, picture, units)}` })),
    { text: 'Wax or petroleum jelly over the finished joints.' },
  ];
}
