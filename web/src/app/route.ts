/** Which sheet is open, as the address says after `#/`. */

export const SHEETS = [
  { id: 'plan', name: 'Plan', what: 'where volts and amps go' },
  { id: 'volts', name: 'Volts', what: 'one load, piece by piece' },
  { id: 'readings', name: 'Readings', what: 'measure and find out' },
  { id: 'failures', name: 'Failures', what: 'what happens if' },
  { id: 'work', name: 'Work', what: 'what is worth doing' },
  { id: 'file', name: 'File', what: 'the vehicle as text' },
  { id: 'hand-on', name: 'Hand on', what: 'report and print' },
] as const;

export type SheetId = (typeof SHEETS)[number]['id'];

export interface Place {
  readonly vehicle: number | null;
  readonly sheet: SheetId;
}

export function readPlace(hash: string): Place {
  const match = /^#\/(\d+)(?:\/([a-z-]+))?/.exec(hash);
  const sheet = SHEETS.find(({ id }) => id === match?.[2])?.id ?? 'plan';
  return { vehicle: match?.[1] ? Number(match[1]) : null, sheet };
}

export function placeHash({ vehicle, sheet }: Place): string {
  return vehicle === null ? '#/' : `#/${vehicle}/${sheet}`;
}
