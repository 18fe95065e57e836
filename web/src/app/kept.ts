/** A kept answer in one line, as the program that gave it said it; older programs said none. */
import type { Form } from '../lib/quantity/format';
import { partOf, saidText, type Told } from '../lib/told/told';
import { nameOf } from '../lib/words';

export function headline(answer: unknown, form: Form = {}): string {
  try {
    return saidText(partOf((answer as { readonly told?: Told } | null)?.told, 'headline'), form, nameOf);
  } catch {
    // It may come from an older program: nothing of its shape is taken for granted.
    return '';
  }
}
