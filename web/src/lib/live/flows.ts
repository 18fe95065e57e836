/** Currents and losses that follow from voltages, while a hand moves. */
import type { Picture } from '../api/picture';
import type { SolvedState } from '../api/types';
import { type Branch, type BranchFlow, ohmsOf, STILL } from '../plan/branches';

/** What flows in each branch at these voltages; `changed` has another resistance than the file gives it. */
export function liveFlows(
  branches: readonly Branch[],
  solved: SolvedState,
  volts: ReadonlyMap<string, number | null>,
  changed: { readonly id: string; readonly ohms: number } | null,
): Map<string, BranchFlow> {
  const flows = new Map<string, BranchFlow>();
  for (const branch of branches) {
    const from = volts.get(branch.from) ?? null;
    const to = volts.get(branch.to) ?? null;
    const before = ohmsOf(branch, solved);
    if (from === null || to === null || before === null || before === 0) {
      flows.set(branch.id, STILL);
      continue;
    }
    const ohms = changed ? changedOhms(branch, before, solved, changed) : before;
    flows.set(branch.id, { amps: (from - to) / ohms, volts: from - to });
  }
  return flows;
}

function changedOhms(
  branch: Branch,
  before: number,
  solved: SolvedState,
  { id, ohms }: { id: string; ohms: number },
): number {
  if (branch.id === id) {
    const joints = branch.joints.reduce((sum, joint) => sum + (solved.joints[joint]?.ohms ?? 0), 0);
    return joints + ohms;
  }
  const joint = branch.joints.includes(id) ? solved.joints[id] : undefined;
  return joint ? before - joint.ohms + ohms : before;
}

/** Volts of each load before and now. */
export function liveLoads(
  picture: Picture,
  solved: SolvedState,
  volts: ReadonlyMap<string, number | null>,
): Map<string, { before: number; after: number }> {
  const loads = new Map<string, { before: number; after: number }>();
  for (const load of picture.loads) {
    const plus = volts.get(load.positive) ?? null;
    const minus = volts.get(load.negative) ?? null;
    const before = solved.loads[load.id];
    if (plus === null || minus === null || !before) continue;
    loads.set(load.id, { before: before.volts, after: plus - minus });
  }
  return loads;
}
