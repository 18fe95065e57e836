/** Has what was tried written into the vehicle's text, with a sentence for the history. */
import { Refusal } from '../lib/api/client';
import type { Edited } from '../lib/api/openapi';
import type { Bench } from '../lib/bench.svelte';
import { SIZES } from '../lib/live/cable';
import { asAdded } from '../lib/live/trial.svelte';
import { show } from '../lib/quantity/format';
import type { Desk } from './desk.svelte';

/** One change as the program is asked to write it, and what it is called in the history. */
interface Change {
  readonly asked: { readonly size?: string[]; readonly set?: string[]; readonly add?: string[] };
  readonly what: (added: string) => string;
}

/** The program writes, and holds what it wrote against what was meant; where it cannot, nothing is kept and it says why. */
export async function keepTrial(desk: Desk, bench: Bench): Promise<void> {
  const { vehicle } = desk;
  const change = changeOf(bench);
  if (!change || !vehicle) return;
  const { id, revision } = vehicle;
  try {
    const asked = { vehicle: id, revision, ...change.asked };
    const { text, added } = await desk.client.send<Edited>('POST', '/api/edit', asked);
    if (text === vehicle.text) {
      bench.trial.refused = 'Nothing was written: the file says so already.';
      return;
    }
    const refusal = await desk.write(vehicle, text, change.what(added[0] ?? ''));
    if (refusal?.code === 'conflict') bench.trial.refused = 'Nothing was written: somebody changed the file meanwhile.';
  } catch (cause) {
    if (cause instanceof Refusal && cause.status !== 401) bench.trial.refused = `Not kept: ${cause.told}.`;
    else desk.tell(cause);
  }
}

function changeOf(bench: Bench): Change | null {
  const { tried, fileOhms } = bench.trial;
  if (!tried) return null;
  if (tried.kind === 'draft') {
    const { from, to, squareMillimetres, metres } = tried.draft;
    return {
      asked: { add: [asAdded(tried.draft)] },
      what: (added) => `new cable ${added} from ${from} to ${to}, ${squareMillimetres} mm², ${metres} m`,
    };
  }
  const { id, ohms } = tried;
  const conductor = bench.picture?.conductors.find((one) => one.id === id);
  const area = conductor?.square_metres ? Number((conductor.square_metres * 1e6).toPrecision(4)) : null;
  const own = bench.solved?.conductors[id]?.ohms;
  if (conductor && area !== null && own !== undefined) {
    const wanted = (area * own) / ohms;
    const size = SIZES.reduce((best, one) => (Math.abs(one - wanted) < Math.abs(best - wanted) ? one : best), area);
    return { asked: { size: [`${id}=${size} mm²`] }, what: () => `${id} size ${conductor.size ?? ''} → ${size} mm²` };
  }
  const before = fileOhms === null ? '' : `${show(fileOhms, 'ohms').replace('\u00a0', ' ')} `;
  return { asked: { set: [`${id}=${written(ohms)}`] }, what: () => `${id} ${before}→ ${written(ohms)}` };
}

/** A resistance as a person writes it, exactly as it was tried. */
export function written(ohms: number): string {
  const [factor, unit] = ohms < 1e-4 ? [1e6, 'µΩ'] : ohms < 1 ? [1e3, 'mΩ'] : [1, 'Ω'];
  return `${Number((ohms * factor).toPrecision(6))} ${unit}`;
}
