/** What fails and what then goes wrong, in words. */
import type { FailedPart, FailureFinding, PartEndurance, RemedyChange } from '../api/openapi';
import { showArea } from '../quantity/area';
import { type Locale, POINT, show, significant, soon, type Units } from '../quantity/format';
import { nameOf } from '../words';

/** The fault as one would say it. */
export function faultName(fault: FailedPart): string {
  const name = nameOf(fault.name);
  switch (fault.kind) {
    case 'open':
      return `${name} opens`;
    case 'worn':
      return `${name} wears to ${fault.times ?? 'many'} times its resistance`;
    case 'blown':
      return `${name} blows`;
    default:
      return `${name} is lost`;
  }
}

/** What a current does to a conductor, and when. */
export function enduranceText(own: PartEndurance, units: Units, locale: Locale = POINT): string {
  const lasts = (seconds: number): string =>
    own.state_seconds !== null && seconds > own.state_seconds
      ? ` (the state usually lasts ${show(own.state_seconds, 'duration', { locale })})`
      : '';
  const { limit_after_seconds: limit, melts_after_seconds: melts } = own;
  const parts: string[] = [];
  if (limit !== null)
    parts.push(limit <= 0 ? 'past its limit already' : `its limit passed in ${soon(limit, locale)}${lasts(limit)}`);
  if (melts !== null) parts.push(`melts in ${soon(melts, locale)}${lasts(melts)}`);
  else parts.push(`at the end ${show(own.at_end_kelvin, 'temperature', { units })}`);
  return parts.join(', ');
}

/** What its heat does to a joint. */
function hotText(kelvin: number, contact: 'softens' | 'melts', units: Units): string {
  const hot = show(kelvin, 'temperature', { units });
  return contact === 'softens' ? `about ${hot}, too hot for its plating or insulation` : `past ${hot}, its metal melts`;
}

/** One thing that goes wrong. */
export function findingText(finding: FailureFinding, units: Units, locale: Locale = POINT): string {
  const told = { locale };
  switch (finding.kind) {
    case 'load':
      return finding.dead
        ? `${nameOf(finding.name)} is dead`
        : `${nameOf(finding.name)} has ${show(finding.volts, 'volts', told)}${finding.minimum_volts === null ? '' : `, needs ${show(finding.minimum_volts, 'volts', told)}`}`;
    case 'conductor':
      return `${show(Math.abs(finding.endurance.amps), 'amperes', told)} through ${nameOf(finding.name)}: ${enduranceText(finding.endurance, units, locale)}`;
    case 'path':
      return `${show(Math.abs(finding.amps), 'amperes', told)} through ${nameOf(finding.name)}, where damage is to be feared from ${show(finding.damage_amps, 'amperes', told)}`;
    case 'joint':
      return `${show(Math.abs(finding.volts), 'loss', told)}, ${show(finding.watts, 'watts', told)} in ${nameOf(finding.name)}: ${hotText(finding.reaches_kelvin, finding.contact, units)}`;
    case 'fuse':
      return `${show(Math.abs(finding.amps), 'amperes', told)} through fuse ${nameOf(finding.name)} of ${show(finding.rating_amps, 'amperes', told)}: ${finding.latest_seconds === null ? 'need not open' : `opens within ${soon(finding.latest_seconds, locale)}`}`;
    case 'battery':
      return `battery ${nameOf(finding.name)} gives ${show(finding.share, 'percent', told)} of the current with ${show(finding.fair_share, 'percent', told)} of the capacity`;
    case 'unsettled':
      return 'the network cannot settle: loads ask for more than it can deliver';
  }
}

export interface Line {
  readonly text: string;
  /** Something is damaged. */
  readonly harm: boolean;
}

/** Loads that are dead are told in one breath, the rest one by one, what burns first. */
export function findingLines(findings: readonly FailureFinding[], units: Units, locale: Locale = POINT): Line[] {
  const dead = findings.flatMap((own) => (own.kind === 'load' && own.dead ? [nameOf(own.name)] : []));
  const rest = findings.filter((own) => !(own.kind === 'load' && own.dead));
  const lines: Line[] = [...rest]
    .sort((a, b) => Number(harms(b)) - Number(harms(a)))
    .map((own) => ({ text: findingText(own, units, locale), harm: harms(own) }));
  const few = dead.length > 5 ? `${dead.slice(0, 4).join(', ')} and ${dead.length - 4} more` : dead.join(', ');
  if (dead.length > 0) lines.push({ text: dead.length === 1 ? `${few} is dead` : `dead: ${few}`, harm: false });
  return lines;
}

/** Whether a finding damages something. */
export function harms(finding: FailureFinding): boolean {
  return finding.kind === 'conductor' || finding.kind === 'path' || finding.kind === 'joint';
}

/**
 * The pieces that are harmed, by the names of the plan, each with what becomes of it: a joint melts at the end of its
 * conductor. What would take longer than the state usually lasts only gets too hot.
 */
export function burnt(findings: readonly FailureFinding[]): Map<string, string> {
  const fates = new Map<string, string>();
  const add = (name: string, fate: string): void => {
    if (!fates.has(name) || fate === 'burns') fates.set(name, fate);
  };
  for (const own of findings) {
    if (own.kind === 'conductor') add(own.name, burnsIn(own.endurance) ? 'burns' : 'gets too hot');
    else if (own.kind === 'path') add(own.name, 'is damaged');
    else if (own.kind === 'joint')
      add(conductorOf(own.name), own.contact === 'softens' ? 'joint gets too hot' : 'joint melts');
  }
  return fates;
}

function burnsIn({ limit_after_seconds: limit, state_seconds: usual }: PartEndurance): boolean {
  return limit !== null && (usual === null || limit <= usual);
}

/** The conductor that a joint is an end of; other names stay as they are. */
export function conductorOf(name: string): string {
  return name.replace(/\.(from|to)$/, '');
}

/** A change that would help. */
export function changeText(change: RemedyChange, units: Units, locale: Locale = POINT): string {
  const size = showArea(change.square_metres, units, locale);
  if (change.kind === 'larger') return `make ${nameOf(change.name)} ${size}`;
  const what = change.kind === 'parallel-strap' ? 'a second strap beside it' : 'a ground of its own';
  return `${what}, ${size}, ${show(change.metres, 'length', { units, locale })}, from ${nameOf(change.from)} to ${nameOf(change.to)}`;
}

/** A chance as people say it. */
export function chanceText(chance: number, locale: Locale = POINT): string {
  if (chance >= 0.01) return show(chance, 'percent', { locale });
  return chance > 0 ? `1 in ${significant(1 / chance, 1)}` : 'never';
}
