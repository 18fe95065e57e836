/** Why a fault is believed, in sentences that a person can follow with the vehicle before them. */
import type { AccountedFault, Diagnosis, MeasuredAt } from '../api/types';
import { type Locale, show } from '../quantity/format';
import { listed, measuredName, nameOf, suspectName } from '../words';

type Against = AccountedFault['without'][number];

/** A paragraph for each fault of the best explanation; none for one that no reading speaks of. */
export function accountOf(diagnosis: Diagnosis, locale: Locale): string[] {
  const taken = new Map(diagnosis.readings.map(({ number, measured }) => [number, measured]));
  return diagnosis.account.map((own) => fault(own, taken, locale).join(' ')).filter((words) => words !== '');
}

type Taken = ReadonlyMap<number, MeasuredAt>;

function fault(own: AccountedFault, taken: Taken, locale: Locale): string[] {
  const { telling, suspect, without, ohms, amps, state } = own;
  if (telling) return [stretch(telling, taken, locale), ...joints(own, telling.joints, taken, locale)];
  if (suspect.kind === 'extra-path') {
    const [from, to] = [suspect.from ?? '', suspect.to ?? ''];
    const about = ohms === null ? '' : ` of about ${show(ohms, 'ohms', { locale })}`;
    const flows =
      amps === null || state === null
        ? ''
        : `; ${show(Math.abs(amps), 'amperes', { locale })} flow in it, ${spaced(state)}`;
    const words = [
      `Something${about} that the file does not show joins ${bodyOf(from)} and ${bodyOf(to)}, counted between ${nameOf(from)} and ${nameOf(to)}${flows}: look for a bracket, a pipe, a cable’s sheath.`,
    ];
    if (without.length > 0) words.push(`Without it, all else as found, ${speaks(without, taken, locale)}.`);
    return words;
  }
  if (without.length === 0) return [];
  return [`If ${suspectName(suspect).name} alone were put right, ${speaks(without, taken, locale)}.`];
}

/** The drop, the current that flows, and what that current should cost. */
function stretch(own: NonNullable<AccountedFault['telling']>, taken: Taken, locale: Locale): string {
  const { number, state, shown_volts: shown, expected_volts: expected, amps } = own;
  const volts = (value: number): string => show(value, 'loss', { locale });
  const at = taken.get(number);
  const where = at ? `From ${measuredName(at)} ` : '';
  return `${where}${volts(shown)} are lost, ${spaced(state)} (reading ${number}). At the ${show(amps, 'amperes', { locale })} that flow there now ${volts(expected)} would be right: ${volts(shown - expected)} too much.`;
}

/** Which joints lie in the stretch, and which readings leave which. */
function joints(own: AccountedFault, all: readonly string[], taken: Taken, locale: Locale): string[] {
  const words: string[] = [];
  if (all.length === 0) words.push('No joint lies in that stretch.');
  else if (all.length === 1) words.push(`One joint lies there: ${nameOf(all[0] ?? '')}.`);
  else words.push(`${all.length} joints lie there: ${listed(all.map(nameOf))}.`);
  for (const { id, against } of own.rivals) {
    const first = against[0];
    if (first) words.push(`Were it ${nameOf(id)} instead, ${speaks([first], taken, locale)}.`);
  }
  const left = own.rivals.filter(({ against }) => against.length === 0).map(({ id }) => nameOf(id));
  if (left.length > 0) words.push(`No reading tells ${listed(left)} from ${suspectName(own.suspect).name}.`);
  return words;
}

/** `reading 6 (clamp round block-frame) would show 61 A and not 86 A`. */
function speaks(against: readonly Against[], taken: Taken, locale: Locale): string {
  const each = against.map(({ number, would, shown }) => {
    const at = taken.get(number);
    const value = (own: number): string => valueName(own, at, locale);
    return `reading ${number}${at ? ` (${measuredName(at)})` : ''} would show ${value(would)} and not ${value(shown)}`;
  });
  return each.join('; ');
}

/** A value in the unit of what was measured; without a unit where there is none. */
export function valueName(value: number, at: MeasuredAt | undefined, locale: Locale): string {
  if (at === undefined || 'volts' in at) return show(value, 'loss', { locale });
  if ('amps' in at) return show(value, 'amperes', { locale });
  if ('ohms' in at) return show(value, 'ohms', { locale });
  return value > 0 ? 'better' : value < 0 ? 'worse' : 'no change';
}

function bodyOf(point: string): string {
  return point.split('/')[0] ?? point;
}

function spaced(state: string): string {
  return state.replaceAll('-', ' ');
}
