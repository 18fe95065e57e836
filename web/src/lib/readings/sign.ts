/** Whether a typed sign is to be asked about before a reading is kept: a minus that was left off, leads that were crossed. */
import type { Picture } from '../api/picture';
import type { Probe, SolvedState } from '../api/types';

/** `minus`: typed without one where a sound vehicle shows one. `crossed`: the other way round. */
export type SignQuestion = 'minus' | 'crossed';

/** Below so much a meter's last digits decide the sign, and nobody is asked. */
const NOTHING: Readonly<Record<'V' | 'A', number>> = { V: 0.003, A: 0.5 };

/** What to ask of a typed value, where its sign is not that of a sound vehicle; a plus that was typed is an answer. */
export function signQuestion(typed: string, value: number, sound: number | null, unit: 'V' | 'A'): SignQuestion | null {
  if (sound === null || Number.isNaN(sound) || Math.abs(sound) < NOTHING[unit] || Math.abs(value) < NOTHING[unit])
    return null;
  if (value < 0 && sound > 0) return 'crossed';
  return value > 0 && sound < 0 && !typed.trim().startsWith('+') ? 'minus' : null;
}

/** What was typed with another sign before it. */
export function withSign(typed: string, sign: '+' | '-' | ''): string {
  return `${sign}${typed.trim().replace(/^[+\u2212-]\s*/u, '')}`;
}

/** What a sound vehicle shows there, as far as the solved state tells; a lug is asked about by the program alone. */
export function soundOf(probe: Probe, solved: SolvedState | null, picture: Picture): number | null {
  if (!solved?.found) return null;
  if (probe.unit === 'V') {
    const [red, black] = [solved.points[probe.from]?.volts, solved.points[probe.to]?.volts];
    return typeof red === 'number' && typeof black === 'number' ? red - black : null;
  }
  const amps = solved.conductors[probe.through]?.amps;
  const ends = picture.conductors.find(({ id }) => id === probe.through);
  if (amps === undefined || !ends) return null;
  return probe.towards === ends.from ? -amps : amps;
}

/** A clamp with its arrow the way in which the current of a sound vehicle flows. */
export function upright(probe: Probe, solved: SolvedState | null, picture: Picture): Probe {
  const sound = probe.unit === 'A' ? soundOf(probe, solved, picture) : null;
  if (probe.unit === 'V' || sound === null || sound >= 0) return probe;
  const ends = picture.conductors.find(({ id }) => id === probe.through);
  return ends ? { ...probe, towards: probe.towards === ends.from ? ends.to : ends.from } : probe;
}
