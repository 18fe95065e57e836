/** The parts of a report, as far as it carries them. */
import type { Blob } from './blob';

export interface Part {
  readonly id: string;
  readonly name: string;
}

/** What is shown, in order; a report made for one sheet shows that sheet alone. */
export function partsOf({ answers, readings, photos, work, text, show }: Blob): Part[] {
  const has = {
    plan: true,
    volts: true,
    readings: Boolean(answers.diagnose) || (readings ?? []).length > 0,
    failures: Boolean(answers.failures),
    work: (answers.repairs?.repairs ?? []).length > 0 || (work ?? []).length > 0,
    photos: (photos ?? []).length > 0,
    sheet: Boolean(answers.plan ?? answers.next),
    file: Boolean(text),
  };
  const all = NAMES.filter(({ id }) => has[id]);
  const only = ONLY[show?.view ?? ''];
  return only === undefined ? all : all.filter(({ id }) => id === only);
}

const NAMES = [
  { id: 'plan', name: 'Plan' },
  { id: 'volts', name: 'Volts' },
  { id: 'readings', name: 'Readings' },
  { id: 'failures', name: 'Failures' },
  { id: 'work', name: 'Work' },
  { id: 'photos', name: 'Photographs' },
  { id: 'sheet', name: 'To measure' },
  { id: 'file', name: 'File' },
] as const;

const ONLY: Readonly<Record<string, string>> = { 'job-sheet': 'work', 'readings-sheet': 'sheet' };
