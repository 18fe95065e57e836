/** Whether a cable that is only drawn would bear what can come over it. */
import type { FailureSurvey, Heat } from '../api/openapi';
import type { Ask, How } from '../ask';

export interface Judgement {
  /** Its name in the text that was asked about. */
  readonly id: string;
  readonly heat: Heat;
  /** What burns it when it fails elsewhere, the soonest first. */
  readonly burns: FailureSurvey['hidden_fuses'];
}

/** Asks about the vehicle's text with the cable in it; nothing of it is kept. */
export async function judgementOf(ask: Ask, id: string, text: string, state: string, how: How): Promise<Judgement> {
  const heat = await ask.ask('heat', { text, state }, how);
  const { hidden_fuses: all } = await ask.ask('failures', { text }, how);
  const burns = all.filter(({ conductor }) => conductor === id);
  return { id, heat, burns: burns.sort((a, b) => soonest(a) - soonest(b)) };
}

function soonest({ endurance }: Judgement['burns'][number]): number {
  return endurance.limit_after_seconds ?? Number.POSITIVE_INFINITY;
}
