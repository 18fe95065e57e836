/** Every line of the plan: what joins two points and may carry current. */
import type { Family, Picture } from '../api/picture';
import type { SolvedState } from '../api/types';

export type BranchKind = 'conductor' | 'inline' | 'stretch' | 'incidental' | 'case';

export interface Branch {
  readonly id: string;
  readonly kind: BranchKind;
  readonly family: Family;
  readonly from: string;
  readonly to: string;
  /** Joints and crimps in the order from → to; their losses belong to the branch. */
  readonly joints: readonly string[];
  readonly make: string;
}

export interface BranchFlow {
  /** From `from` to `to`. */
  readonly amps: number;
  /** Lost over the whole branch, joints included. */
  readonly volts: number;
}

export const STILL: BranchFlow = { amps: 0, volts: 0 };

/** All branches of a vehicle, in the order of its file. */
export function branchesOf(picture: Picture): Branch[] {
  const joints = new Set(picture.joints.map(({ id }) => id));
  const crimpOf = (joint: string): string[] => [`${joint}.crimp`].filter((crimp) => joints.has(crimp));
  const conductors = picture.conductors.map(
    (c): Branch => ({
      id: c.id,
      kind: 'conductor',
      family: c.family,
      from: c.from,
      to: c.to,
      make: c.kind,
      joints: [c.from_joint, ...crimpOf(c.from_joint), ...crimpOf(c.to_joint), c.to_joint],
    }),
  );
  const inline = picture.inline.map(
    (i): Branch => ({ id: i.id, kind: 'inline', family: i.family, from: i.from, to: i.to, make: i.make, joints: [] }),
  );
  const stretches = picture.stretches.map(
    (s): Branch => ({
      id: s.id,
      kind: 'stretch',
      family: 'return',
      from: s.from,
      to: s.to,
      make: 'metal',
      joints: [],
    }),
  );
  const incidental = picture.incidental.map(
    (i): Branch => ({
      id: i.id,
      kind: 'incidental',
      family: 'return',
      from: i.from,
      to: i.to,
      make: i.kind,
      joints: [],
    }),
  );
  return [...conductors, ...inline, ...casesOf(picture), ...stretches, ...incidental];
}

/** Devices that are bolted to the metal: their case is the conductor. Feet of studs and mated pins are drawn like them. */
function casesOf(picture: Picture): Branch[] {
  const families = new Map(picture.points.map((point) => [point.id, point.family]));
  const devices = new Map([...picture.loads, ...picture.sources].map((device) => [device.id, device]));
  return picture.joints.flatMap((joint): Branch[] => {
    if (joint.beside !== null) {
      const family = families.get(joint.beside) ?? 'other';
      return [
        { id: joint.id, kind: 'case', family, from: joint.beside, to: joint.point, make: joint.kind, joints: [] },
      ];
    }
    const device = joint.conductor === null && joint.device !== null ? devices.get(joint.device) : undefined;
    if (!device) return [];
    return [
      {
        id: joint.id,
        kind: 'case',
        family: 'return',
        from: device.negative,
        to: joint.point,
        make: joint.kind,
        joints: [],
      },
    ];
  });
}

/** What flows in each branch in one solved state. */
export function flowsOf(branches: readonly Branch[], solved: SolvedState): Map<string, BranchFlow> {
  return new Map(branches.map((branch) => [branch.id, flowOf(branch, solved)]));
}

function flowOf(branch: Branch, solved: SolvedState): BranchFlow {
  switch (branch.kind) {
    case 'conductor': {
      const own = solved.conductors[branch.id];
      if (!own) return STILL;
      const joints = branch.joints.reduce((sum, joint) => sum + (solved.joints[joint]?.volts ?? 0), 0);
      return { amps: own.amps, volts: own.volts + joints };
    }
    case 'inline': {
      const own = solved.inline[branch.id];
      // An open switch holds back volts but loses none.
      return own && Math.abs(own.amps) > 1e-6 ? own : STILL;
    }
    case 'case':
      return solved.joints[branch.id] ?? STILL;
    case 'stretch':
      return solved.stretches[branch.id] ?? STILL;
    case 'incidental':
      return solved.incidental[branch.id] ?? STILL;
  }
}

/** Resistance of a whole branch in a solved state; null when it is open or unknown. */
export function ohmsOf(branch: Branch, solved: SolvedState): number | null {
  const own =
    branch.kind === 'conductor'
      ? solved.conductors[branch.id]
      : branch.kind === 'inline'
        ? solved.inline[branch.id]
        : branch.kind === 'case'
          ? solved.joints[branch.id]
          : branch.kind === 'stretch'
            ? solved.stretches[branch.id]
            : solved.incidental[branch.id];
  if (!own) return null;
  // An open switch has volts across it and no current: its resistance says nothing.
  if (branch.kind === 'inline' && own.amps === 0 && Math.abs(own.volts) > 1e-9) return null;
  return branch.joints.reduce((sum, joint) => sum + (solved.joints[joint]?.ohms ?? 0), own.ohms);
}
