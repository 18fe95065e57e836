/** Whether a cable that is only drawn would bear what can come over it. */
import type { FailureSurvey, Heat } from '../api/openapi';
import type { Action } from '../api/types';
import type { Ask, How } from '../ask';
import { asAdded, type Draft } from '../live/trial.svelte';

export interface Judgement {
  /** Its name in the text that was asked about. */
  readonly id: string;
  readonly heat: Heat;
  /** What burns it when it fails elsewhere, the soonest first. */
  readonly burns: FailureSurvey['hidden_fuses'];
}

/** Asks about the vehicle's text with the cable in it; nothing of it is kept. */
export async function judgementOf(ask: Ask, draft: Draft, state: string, how: How): Promise<Judgement> {
  const { text, added } = await ask.ask('edit', { add: [asAdded(draft)] }, how);
  const id = added[0] ?? '';
  const heat = await ask.ask('heat', { text, state }, how);
  const { hidden_fuses: all } = await ask.ask('failures', { text }, how);
  const burns = all.filter(({ conductor }) => conductor === id);
  return { id, heat, burns: burns.sort((a, b) => soonest(a) - soonest(b)) };
}

function soonest({ endurance }: Judgement['burns'][number]): number {
  return endurance.limit_after_seconds ?? Number.POSITIVE_INFINITY;
}

/** The cable that a repair would add; null for other repairs, and for a size in other words than mm². */
export function addedBy(action: Action): Draft | null {
  if (!('add' in action)) return null;
  const { from, to, metres, size } = action.add;
  const area = /^([\d.]+)\s*mm²$/.exec(size)?.[1];
  return area === undefined ? null : { from, to, metres, squareMillimetres: Number(area) };
}
