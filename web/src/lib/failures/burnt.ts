/** What a failure burns, and by which word the plan marks it. */
import type { FailureFinding, PartEndurance } from '../api/openapi';

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
