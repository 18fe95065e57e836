/** Whether a cable that is only drawn would bear what can come over it. */
import type { Heat } from '../api/openapi';
import type { Action } from '../api/types';
import type { Ask, How, Saying } from '../ask';
import { asAdded, type Draft } from '../live/trial.svelte';
import { type Part, partOf } from '../told/told';

export interface Judgement {
  /** Its name in the text that was asked about. */
  readonly id: string;
  readonly heat: Saying<Heat>;
  /** What is said of what burns it when it fails elsewhere; null where nothing does. */
  readonly thin: Part | null;
  /** What is said then. */
  readonly bears: Part | null;
}

/** Of so many failures all that burns is told. */
const MOST = 500;

/** Asks about the vehicle's text with the cable in it; nothing of it is kept. */
export async function judgementOf(ask: Ask, draft: Draft, state: string, how: How): Promise<Judgement> {
  const { text, added } = await ask.ask('edit', { add: [asAdded(draft)] }, how);
  const id = added[0] ?? '';
  const heat = await ask.ask('heat', { text, state, told: true }, how);
  const { told } = await ask.ask('failures', { text, most: MOST, told: true }, how);
  return { id, heat, thin: partOf(told, `too_thin.${id}`), bears: partOf(told, 'bears') };
}

/** The cable that a repair would add; null for other repairs, and for a size in other words than mm². */
export function addedBy(action: Action): Draft | null {
  if (!('add' in action)) return null;
  const { from, to, metres, size } = action.add;
  const area = /^([\d.]+)\s*mm²$/.exec(size)?.[1];
  return area === undefined ? null : { from, to, metres, squareMillimetres: Number(area) };
}
