/** Writes what was tried into the vehicle's text, with a sentence for the history. */
import type { Bench } from '../lib/bench.svelte';
import { addConductor, setResistance, setSize } from '../lib/editor/edit';
import { SIZES } from '../lib/live/cable';
import { show } from '../lib/quantity/format';
import type { Desk } from './desk.svelte';

/** Gives the name to look at in the file when the text could not be changed by itself; null when all is done. */
export async function keepTrial(desk: Desk, bench: Bench): Promise<string | null> {
  const { tried, fileOhms } = bench.trial;
  const { vehicle } = desk;
  if (!tried || !vehicle) return null;
  const { text } = vehicle;
  if (tried.kind === 'draft') {
    const { from, to, squareMillimetres, metres } = tried.draft;
    const added = addConductor(text, tried.draft);
    await desk.write(
      vehicle,
      added.text,
      `new cable ${added.id} from ${from} to ${to}, ${squareMillimetres} mm², ${metres} m`,
    );
    return null;
  }
  const conductor = bench.picture?.conductors.find(({ id }) => id === tried.id);
  const area = conductor?.square_metres ? conductor.square_metres * 1e6 : null;
  const own = bench.solved?.conductors[tried.id]?.ohms;
  if (conductor && area !== null && own !== undefined) {
    const wanted = (area * own) / tried.ohms;
    const size = SIZES.reduce((best, one) => (Math.abs(one - wanted) < Math.abs(best - wanted) ? one : best), area);
    const changed = setSize(text, tried.id, `${size} mm²`);
    if (changed === null) return tried.id;
    await desk.write(vehicle, changed, `${tried.id} size ${conductor.size ?? ''} → ${size} mm²`);
    return null;
  }
  const said = show(tried.ohms, 'Ω').replace('\u00a0', ' ');
  const changed = setResistance(text, tried.id, said);
  if (changed === null) return tried.id;
  await desk.write(vehicle, changed, `${tried.id} ${fileOhms === null ? '' : `${show(fileOhms, 'Ω')} `}→ ${said}`);
  return null;
}
