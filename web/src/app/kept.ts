/** A kept answer in one line. It may come from an older program: nothing of its shape is taken for granted. */
import type { Action, Suspect } from '../lib/api/types';
import { showChance } from '../lib/quantity/format';
import { partOf, type Told, titleOf } from '../lib/told/told';
import { actionPiece, nameOf } from '../lib/words';

interface Old {
  readonly suspects?: readonly Suspect[];
  readonly nothing_bad?: number;
  readonly not_cleared?: readonly unknown[];
  readonly repairs?: readonly { readonly action: Action }[];
  readonly hidden_fuses?: readonly unknown[];
  /** Older programs kept none. */
  readonly told?: Told;
}

export function headline(question: string, answer: unknown): string {
  try {
    return told(question, answer as Old);
  } catch {
    return '';
  }
}

function told(
  question: string,
  { suspects, nothing_bad: nothing, not_cleared: held, repairs, hidden_fuses: hidden, told: said }: Old,
): string {
  if (question === 'diagnose') {
    const first = suspects?.[0];
    if (!first || (nothing ?? 0) > first.probability)
      return `nothing is wrong${(held?.length ?? 0) > 0 ? ' so far, not cleared' : ''}, ${showChance(nothing ?? 0)}`;
    const title = titleOf(partOf(said, 'suspects.0'), {}, nameOf);
    return `${title === '' ? nameOf(first.id ?? '') : title}, ${showChance(first.probability)}`;
  }
  if (question === 'repairs') {
    const first = repairs?.[0];
    if (!first) return 'nothing';
    const title = titleOf(partOf(said, 'repairs.0'), {}, nameOf);
    return title === '' ? nameOf(actionPiece(first.action) ?? '') : title;
  }
  if (question === 'failures') {
    const count = hidden?.length ?? 0;
    return count === 0 ? 'no hidden fuse' : count === 1 ? 'one hidden fuse' : `${count} hidden fuses`;
  }
  return '';
}
