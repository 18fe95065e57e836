/** The plan in one sentence or two, for those who hear it. */
import type { Picture } from '../api/picture';
import type { SolvedState } from '../api/types';
import { show } from '../quantity/format';
import { nameOf } from '../words';
import type { BranchFlow } from './branches';

/** What a person would say who looks at the plan. */
export function planSentence(
  picture: Picture,
  state: string,
  solved: SolvedState | null,
  flows: ReadonlyMap<string, BranchFlow>,
): string {
  const begin = `Plan of ${picture.name}, ${state}.`;
  if (!solved) return begin;
  const sources = Object.entries(solved.batteries)
    .filter(([, { amps }]) => Math.abs(amps) > 0.05)
    .map(
      ([id, { amps, volts }]) =>
        `${id} ${amps < 0 ? 'takes' : 'gives'} ${show(Math.abs(amps), 'amperes')} at ${show(volts, 'volts')}`,
    );
  const lossy = [...flows]
    .sort(([, a], [, b]) => Math.abs(b.volts) - Math.abs(a.volts))
    .slice(0, 3)
    .filter(([, { volts }]) => Math.abs(volts) > 1e-3)
    .map(
      ([id, { volts, amps }]) => `${nameOf(id)} ${show(Math.abs(volts), 'loss')} at ${show(Math.abs(amps), 'amperes')}`,
    );
  const short = Object.entries(solved.loads)
    .filter(([, { status }]) => status !== 'fed' && status !== 'off')
    .map(([id, { volts }]) => `${id} has only ${show(volts, 'volts')}`);
  return [
    begin,
    sources.length > 0 ? `${sources.join(', ')}.` : 'No battery gives current.',
    lossy.length > 0 ? `Most is lost in ${lossy.join(', ')}.` : 'Hardly anything is lost.',
    short.length > 0 ? `${short.join(', ')}.` : '',
  ]
    .filter((part) => part !== '')
    .join(' ');
}
