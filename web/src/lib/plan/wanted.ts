/** Which names the plan would like to show, and how much each matters. */
import type { Picture } from '../api/picture';
import type { SolvedState } from '../api/types';
import { type Locale, show } from '../quantity/format';
import type { Sheet, Spot } from './arrange';
import { type Branch, type BranchFlow, STILL } from './branches';
import { type Curve, samplesOf, spotOn } from './curve';
import { Ink, type Wanted } from './labels';
import { LEAST_AMPS, widthOf } from './look';
import { outlineOf } from './outline';

export interface Name extends Wanted {
  readonly kind: 'device' | 'off' | 'wire' | 'harmed' | 'point' | 'metal';
  readonly lines: readonly string[];
}

export interface View {
  readonly k: number;
  readonly x: number;
  readonly y: number;
}

export interface Scene {
  readonly picture: Picture;
  readonly sheet: Sheet;
  readonly branches: readonly Branch[];
  readonly curves: ReadonlyMap<string, Curve>;
  readonly flows: ReadonlyMap<string, BranchFlow>;
  readonly solved: SolvedState | null;
  readonly selected: string | null;
  readonly locale: Locale;
  /** Width of a text in pixels. */
  readonly measure: (text: string, bold: boolean) => number;
  readonly view: View;
  readonly hidden: ReadonlySet<string>;
  /** Pieces that are harmed, with what becomes of each: named before all else. */
  readonly burning: ReadonlyMap<string, string>;
  readonly scale: number;
}

const LINE = 14;

/** All names, for the present zoom; `placeLabels` decides which find room. */
export function namesOf(scene: Scene): Name[] {
  const to = (spot: Spot): Spot => ({
    x: spot.x * scene.view.k + scene.view.x,
    y: spot.y * scene.view.k + scene.view.y,
  });
  return [...devices(scene, to), ...wires(scene, to), ...points(scene, to), ...metal(scene, to)].filter(
    ({ at }) => at.x > 10 && at.y > 10 && at.x < scene.sheet.width - 10 && at.y < scene.sheet.height - 10,
  );
}

type To = (spot: Spot) => Spot;

function named(
  scene: Scene,
  kind: Name['kind'],
  id: string,
  lines: readonly string[],
  at: Spot,
  clear: number,
  rank: number,
): Name {
  const bold = kind === 'device' || kind === 'off' || kind === 'harmed';
  // Names of structures are set in spaced small capitals.
  const spread = kind === 'metal' ? 1.15 : 1;
  const width = Math.max(...lines.map((line) => scene.measure(line, bold))) * spread + 4;
  return { kind, id, lines, at, clear, rank, width, height: lines.length * LINE, leader: rank >= 40 };
}

function devices(scene: Scene, to: To): Name[] {
  const { picture, sheet, solved, selected } = scene;
  const all = [
    ...picture.batteries.map(({ id }) => ({ id, name: id, volts: solved?.batteries[id]?.volts, rank: 90 })),
    ...picture.sources.map(({ id }) => {
      const source = solved?.sources[id];
      return { id, name: id, volts: source?.mode === 'stopped' ? undefined : source?.volts, rank: 60 };
    }),
    ...picture.loads.map(({ id }) => {
      const load = solved?.loads[id];
      const on = load !== undefined && load.status !== 'off';
      const rank = on && load.status !== 'fed' ? 85 : on ? 50 + Math.min(30, Math.sqrt(Math.abs(load.amps))) : 8;
      return { id, name: id, volts: on ? load.volts : undefined, rank };
    }),
  ];
  return all.flatMap(({ id, name, volts, rank }) => {
    const site = sheet.sites.get(id);
    if (!site) return [];
    const lines = volts === undefined ? [name] : [name, show(volts, 'volts', { locale: scene.locale })];
    return [
      named(
        scene,
        volts === undefined ? 'off' : 'device',
        id,
        lines,
        to(site),
        site.reach + 3,
        selected === id ? 200 : rank,
      ),
    ];
  });
}

function wires(scene: Scene, to: To): Name[] {
  return scene.branches.flatMap((branch) => {
    const curve = scene.curves.get(branch.id);
    const flow = scene.flows.get(branch.id) ?? STILL;
    const picked = scene.selected === branch.id || (scene.selected !== null && branch.joints.includes(scene.selected));
    if (!curve || scene.hidden.has(branch.id)) return [];
    const wide = widthOf(flow.amps, scene.scale) / 2;
    const fate = scene.burning.get(branch.id);
    if (fate !== undefined) {
      const lines = [branch.id, `${show(Math.abs(flow.amps), 'amperes', { locale: scene.locale })}: ${fate}`];
      return [named(scene, 'harmed', branch.id, lines, to(spotOn(curve, 0.5)), wide + 12, 220)];
    }
    const carries = Math.abs(flow.amps) >= 1;
    const isMain = (branch.kind === 'conductor' || branch.kind === 'inline') && !branch.id.includes('.');
    if (!picked && !(carries && branch.kind !== 'stretch' && branch.kind !== 'case')) return [];
    const amps = show(Math.abs(flow.amps), 'amperes', { locale: scene.locale });
    const lines = isMain || picked ? [branch.id, amps] : [amps];
    const rank = picked ? 190 : (isMain ? 44 : 20) + Math.min(34, Math.sqrt(Math.abs(flow.amps)) * 1.4);
    return [named(scene, 'wire', branch.id, lines, to(spotOn(curve, 0.5)), wide + 4, rank)];
  });
}

function points(scene: Scene, to: To): Name[] {
  return scene.picture.points.flatMap((point) => {
    const site = scene.sheet.sites.get(point.id);
    if (!site || site.kind === 'hidden') return [];
    const own = point.structure === null ? point.id : point.id.slice(point.structure.length + 1);
    // The ends of fuses and switches are named by the part itself until one comes closer.
    if (point.device !== null && scene.selected !== point.id && scene.view.k < 2.4) return [];
    const rank = scene.selected === point.id ? 180 : point.structure === null ? (point.device ? 6 : 18) : 16;
    return [named(scene, 'point', point.id, [own], to(site), 7, rank)];
  });
}

function metal(scene: Scene, to: To): Name[] {
  return scene.picture.structures.flatMap((body) => {
    const spots = body.points.flatMap((point) => scene.sheet.spots.get(point) ?? []);
    if (spots.length === 0) return [];
    const at = {
      x: spots.reduce((sum, { x }) => sum + x, 0) / spots.length,
      y: spots.reduce((sum, { y }) => sum + y, 0) / spots.length,
    };
    return [named(scene, 'metal', body.id, [body.id], to(at), 2, 30)];
  });
}

/** Everything that a name should not hide. */
export function inkOf(scene: Scene): Ink {
  const { sheet, view } = scene;
  const to = (spot: Spot): Spot => ({ x: spot.x * view.k + view.x, y: spot.y * view.k + view.y });
  const ink = new Ink(sheet);
  for (const branch of scene.branches) {
    const curve = scene.curves.get(branch.id);
    if (!curve || scene.hidden.has(branch.id)) continue;
    const amps = (scene.flows.get(branch.id) ?? STILL).amps;
    if (branch.kind === 'stretch' && Math.abs(amps) < LEAST_AMPS) continue;
    const quiet = Math.abs(amps) < LEAST_AMPS;
    const weight = branch.kind === 'stretch' ? 0.12 : quiet ? 0.3 : 0.75;
    const length = Math.hypot(curve.b.x - curve.a.x, curve.b.y - curve.a.y) * view.k;
    for (const spot of samplesOf(curve, Math.min(120, Math.max(6, Math.round(length / 5))))) {
      ink.dot(to(spot), widthOf(amps, scene.scale) / 2 + 1, weight);
    }
  }
  for (const site of sheet.sites.values())
    if (site.reach > 0) ink.dot(to(site), site.kind === 'point' || site.kind === 'stud' ? 4 : site.reach, 2.5);
  for (const spot of outlineOf(sheet, 14)) ink.dot(to(spot), 1.5, 0.35);
  return ink;
}
