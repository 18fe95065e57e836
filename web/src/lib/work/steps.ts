/** What has to be done, in order, for one repair. Trade practice; the maker's procedure overrides it. */
import type { Picture } from '../api/picture';
import type { Action } from '../api/types';
import { type Locale, POINT, show, type Units } from '../quantity/format';
import { nameOf } from '../words';
import { jointWork, type SheetShown } from './sheet';

export interface Step {
  /** What it is about, where a job has several of its kind. */
  readonly lead?: string;
  readonly text: string;
  readonly caution?: boolean;
}

/** Before anything is opened. The side that is joined to the metal comes off first: a spanner that slips then does no harm. */
function isolate({ earth }: Picture): Step[] {
  const off =
    earth === 'positive'
      ? 'Positive off first: it is the side that this vehicle’s metal is joined to. Cover the negative post.'
      : 'Negative off first. Cover the positive post.';
  return [
    {
      text: 'Rings and watch off. Battery ventilated: hydrogen, so no spark and no flame. Eye protection.',
      caution: true,
    },
    {
      text: `Ignition off and key away; wait as long as the maker says for restraint systems and modules. ${off}`,
      caution: true,
    },
  ];
}

function close({ earth }: Picture): Step[] {
  const on = earth === 'positive' ? 'Positive' : 'Negative';
  return [
    { text: `${on} on last. Radio codes, window and steering learning as the maker says.` },
    { text: 'Take the same reading again and write both down below.' },
  ];
}

/** What a job is shown with. */
export interface Shown {
  readonly picture: Picture;
  readonly units: Units;
  readonly locale?: Locale;
  /** Sheets of joints, as far as they are there. */
  readonly sheets?: ReadonlyMap<string, SheetShown | null>;
}

/** The joints that a job opens. */
export function jointsOf(action: Action, picture: Picture): string[] {
  if ('clean' in action) return [action.clean];
  if ('replace_end' in action) return [action.replace_end];
  const id =
    'clean_both' in action
      ? action.clean_both
      : 'replace' in action
        ? action.replace
        : 'enlarge' in action
          ? action.enlarge.conductor
          : null;
  const own = picture.conductors.find((one) => one.id === id);
  return own ? [own.from_joint, own.to_joint].filter((joint) => joint !== null) : [];
}

/** Steps of a job, for its sheet. */
export function stepsOf(action: Action, shown: Shown): Step[] {
  return [...isolate(shown.picture), ...doing(action, shown), ...close(shown.picture)];
}

function doing(action: Action, shown: Shown): Step[] {
  if ('clean' in action) return cleaning(action.clean, shown);
  if ('clean_both' in action) return jointsOf(action, shown.picture).flatMap((joint) => cleaning(joint, shown));
  if ('replace_end' in action) return newEnd(action.replace_end, shown);
  if ('replace' in action) return replacing(action, action.replace, shown);
  if ('enlarge' in action) return replacing(action, action.enlarge.conductor, shown, action.enlarge.size);
  const { from, to, metres, size } = action.add;
  return [
    {
      text: `Make a cable of ${show(metres, 'length', { units: shown.units, locale: shown.locale })} or the least that the route allows, of ${size}, with a crimped and sealed lug at each end.`,
    },
    {
      text: `Bare bright metal, a hand wide, at ${nameOf(from)} and at ${nameOf(to)}. Lug flat on metal, washer under the nut, never between lug and metal.`,
    },
    {
      text: 'Route it clear of heat, edges and moving parts; clip it so that it cannot chafe. A feed cable needs a fuse at its source.',
    },
    { text: 'Tighten as the maker or the fastener’s table says. Wax or grease over the finished joint.' },
  ];
}

/** Without a sheet: what holds for every lug. */
function torqueOf(joint: string, { picture, units, locale }: Shown): string {
  const torque = picture.joints.find(({ id }) => id === joint)?.torque_newton_metres ?? null;
  return torque === null
    ? 'Tighten to the maker’s torque (the file gives none).'
    : `Tighten to ${show(torque, 'torque', { units, locale })} (from the file; the maker’s figure overrides it).`;
}

const PULL = 'Pull on it by hand: it must not move.';

function cleaning(joint: string, shown: Shown): Step[] {
  const own = shown.picture.joints.find(({ id }) => id === joint);
  const at = own ? `${own.kind} at ${nameOf(own.point)}` : nameOf(joint);
  return [
    {
      text: `Open ${nameOf(joint)} (${at}). Look at it before cleaning: colour, heat marks, looseness, broken strands at the crimp. Photograph it.`,
    },
    ...closing([joint], shown),
  ];
}

/** Faces, assembly, torque and protection of joints that are open. */
function closing(joints: readonly string[], shown: Shown): Step[] {
  const sheets = joints.map((joint) => shown.sheets?.get(joint) ?? null);
  if (sheets.some((own) => own?.sheet.place?.fastened === false)) return unscrewed(joints, sheets, shown);
  if (joints.length === 0 || sheets.some((own) => own === null)) return plain(joints, shown);
  const works = sheets
    .filter((own) => own !== null)
    .map((own) => jointWork(own, protectionOf(own.joint, shown.picture), shown.units, shown.locale ?? POINT));
  const [only] = works;
  if (only && works.length === 1) {
    const steps = [only.faces, only.assembly, only.torque, `${PULL} ${only.protection}`].filter((text) => text !== '');
    return [...only.warnings.map((text) => ({ text, caution: true })), ...steps.map((text) => ({ text }))];
  }
  const all = works.map(({ faces, assembly, torque, protection }) =>
    [faces, assembly, torque, protection].filter((text) => text !== '').join('\n'),
  );
  return [
    ...byJoint(
      joints,
      works.map(({ warnings }) => warnings.join(' ')),
    ).map((step) => ({ ...step, caution: true })),
    ...byJoint(joints, all),
    { text: PULL },
  ];
}

/** One text where all joints ask for the same, else one for each with its name. */
function byJoint(joints: readonly string[], texts: readonly string[]): Step[] {
  const [first] = texts;
  const steps =
    new Set(texts).size === 1 && first !== undefined
      ? [{ text: first }]
      : texts.map((text, at) => ({ lead: nameOf(joints[at] ?? ''), text }));
  return steps.filter(({ text }) => text !== '');
}

function protectionOf(joint: string, picture: Picture): string | null {
  return picture.joints.find(({ id }) => id === joint)?.protection ?? null;
}

/** Plugs, clips and splices: nothing is screwed. */
function unscrewed(joints: readonly string[], sheets: readonly (SheetShown | null)[], shown: Shown): Step[] {
  const screwed = joints.filter((_, at) => sheets[at]?.sheet.place?.fastened !== false);
  const others = joints.filter((joint) => !screwed.includes(joint));
  return [
    {
      text: `${others.map(nameOf).join(', ')}: clean the contact to bright metal without grinding plating off; replace what no longer grips. Close it, pull on it by hand, seal it outside.`,
    },
    ...(screwed.length > 0 ? closing(screwed, shown) : []),
  ];
}

function plain(joints: readonly string[], shown: Shown): Step[] {
  return [
    {
      text: 'Clean both faces to bare bright metal, and the thread. No paint under the lug; plating stays where it is sound.',
    },
    { text: 'Lug flat on metal, washer under the nut or bolt head, the thickest cable nearest the metal.' },
    ...byJoint(
      joints,
      joints.map((joint) => torqueOf(joint, shown)),
    ),
    { text: `${PULL} Protect the outside with wax or petroleum jelly, after tightening.` },
  ];
}

function newEnd(joint: string, shown: Shown): Step[] {
  return [
    {
      text: `Open ${nameOf(joint)}. Cut the cable back until every strand is bright; is it too short then, replace it whole.`,
    },
    { text: 'Crimp a new lug of the cable’s size with the right die, and seal it. Pull on it by hand.' },
    ...closing([joint], shown),
  ];
}

function replacing(action: Action, conductor: string, shown: Shown, larger?: string): Step[] {
  const own = shown.picture.conductors.find(({ id }) => id === conductor);
  const wanted = larger ?? own?.size;
  const size = wanted ? `, ${wanted} or larger` : '';
  const length = own?.metres ? `, ${show(own.metres, 'length', { units: shown.units, locale: shown.locale })}` : '';
  return [
    {
      text: `Take ${nameOf(conductor)} off at both ends. Bend it by hand: crackling or stiff strands are rotten inside.`,
    },
    { text: `Fit a new one${size}${length}, lugs crimped with the right die and sealed.` },
    ...closing(jointsOf(action, shown.picture), shown),
  ];
}
