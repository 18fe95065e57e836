/** The sheet of a joint in the words of a job: faces, washers, stack, torque, protection, warnings. */
import type { FacesTold, JointAbout, JointPlace, JointSheet, PracticeTold, Tightened } from '../api/openapi';
import { type Locale, POINT, show, type Units } from '../quantity/format';
import { nameOf } from '../words';

/** As much of the answer as job sheets show: a report carries no more. */
export interface SheetShown
  extends Pick<
    JointSheet,
    'joint' | 'thread' | 'torque_from' | 'torque_source' | 'torque_confidence' | 'connections' | 'warnings'
  > {
  readonly bolt: Pick<Tightened, 'class' | 'class_assumed' | 'torque_newton_metres' | 'clamp_newtons'> | null;
  readonly sheet: Pick<
    JointAbout,
    'environment' | 'environment_assumed' | 'stack' | 'stacked' | 'washer' | 'forming'
  > & {
    readonly place: Pick<JointPlace, 'kind' | 'fastened'> | null;
    readonly faces: Pick<FacesTold, 'first' | 'second' | 'difference_volts' | 'allowed_volts' | 'corrodes'> | null;
    readonly advice: readonly PracticeTold[];
  };
}

/** What is done at one joint, in order. */
export interface JointWork {
  readonly faces: string;
  readonly assembly: string;
  readonly torque: string;
  readonly protection: string;
  readonly warnings: readonly string[];
}

/** The catalogue's practices, shortened for the bench; a source stands on the sheet where its practice does. */
const FACES: Readonly<Record<string, string>> = {
  'battery posts': 'Clean post, clamp and bolt to bright metal; spread the clamp, do not hammer it on.',
  'clean the faces': 'No paint, oxide, oil, water or grit on them; plating stays where it is sound.',
  'take off paint': 'Paint off the lug’s footprint to bright metal, finished fine and wiped with solvent.',
  'aluminium faces': 'On bare aluminium a conversion coating within a day.',
};
const ASSEMBLY: Readonly<Record<string, string>> = {
  'no washer between faces': 'No washer between the lug and its face: the current goes through the faces.',
  'star washers': 'Star washers only where the joint is sealed afterwards.',
};
const AFTERWARDS: Readonly<Record<string, string>> = {
  'battery posts': 'Coat clamp and post with grease or silicone and wipe off the rest.',
  'seal after assembly':
    'The metals differ: coat the closed joint (silicone, epoxy, polyurethane), so that no liquid bridges it.',
  grease: 'Seal outside only, after tightening; nothing between the faces.',
};

const SAID: Readonly<Record<string, string>> = { ...FACES, ...ASSEMBLY, ...AFTERWARDS };

/** What to do at a joint; `protection` is what the file says keeps water off. */
export function jointWork(own: SheetShown, protection: string | null, units: Units, locale: Locale = POINT): JointWork {
  const { sheet } = own;
  const metals = sheet.faces ? ` (${sheet.faces.first} on ${sheet.faces.second})` : '';
  const clean = adviceFor(own).some(({ subject }) => subject === 'battery posts')
    ? []
    : [`Both faces${metals} to bare bright metal, and the thread.`];
  const washers = sheet.washer ? [`Washers in the file: ${sheet.washer}.`] : [];
  const kept = protection && protection !== 'none' ? [`It was kept by ${protection}: renew that.`] : [];
  return {
    faces: [...clean, ...practices(own, FACES)].join(' '),
    assembly: [...washers, ...practices(own, ASSEMBLY), ...stackText(own)].join(' '),
    torque: torqueText(own, units, locale),
    protection: [...practices(own, AFTERWARDS), ...kept].join(' '),
    warnings: warningTexts(own, units, locale),
  };
}

/** Where the practices and torques of some sheets come from, each once. */
export function sourcesOf(sheets: readonly SheetShown[]): string[] {
  const screwed = sheets.filter(({ sheet }) => sheet.place?.fastened !== false);
  const told = screwed.flatMap((own) => [
    ...adviceFor(own),
    ...(own.torque_from === null ? own.connections : []),
    ...(own.torque_source ? [{ source: own.torque_source, confidence: own.torque_confidence ?? '' }] : []),
  ]);
  return [...new Set(told.map(({ source, confidence }) => `${source} (${confidence})`))];
}

function torqueText(own: SheetShown, units: Units, locale: Locale): string {
  const { bolt, thread, sheet } = own;
  const torque = (newtonMetres: number): string => show(newtonMetres, 'torque', { units, locale });
  if (bolt && own.torque_from === 'file') {
    const { low, high } = bolt.clamp_newtons;
    const force = `${show(low, 'force', { units, locale })} to ${show(high, 'force', { units, locale })}`;
    const screw = `${thread}, class ${bolt.class}${bolt.class_assumed ? ' (assumed: read the head)' : ''}`;
    return `Tighten to ${torque(bolt.torque_newton_metres)} (from the file; the maker’s figure overrides it). ${screw}: it clamps with ${force}.${formingText(sheet.forming, torque)}`;
  }
  const maker = 'Tighten to the maker’s torque (the file gives none).';
  if (bolt) {
    const head = bolt.class_assumed ? ', if its head says so,' : '';
    return `${maker} A steel bolt ${thread} of class ${bolt.class}${head} bears ${torque(bolt.torque_newton_metres)} in steel or iron at the most; sheet, weld nuts, aluminium, brass and lead much less.`;
  }
  const given = own.connections.map(
    ({ connection, low_newton_metres: low, high_newton_metres: high }) =>
      `${low === high ? torque(low) : `${torque(low)} to ${torque(high)}`} (${connection})`,
  );
  return given.length > 0 ? `${maker} Others give ${given.join(', ')}.` : maker;
}

function formingText(forming: SheetShown['sheet']['forming'], torque: (newtonMetres: number) => string): string {
  if (!forming) return '';
  return ` The screw forms its own thread: ${torque(forming.highest_newton_metres)} at the most, it breaks at ${torque(forming.breaking_newton_metres)}.`;
}

function stackText({ joint, sheet }: SheetShown): string[] {
  if (sheet.stack < 2) return [];
  const order = sheet.stacked.map((own) => nameOf(own.replace(/\.(from|to)$/, '')));
  const rest = order.length > 1 && sheet.stacked.includes(joint) ? `: ${order.join(', then ')}` : '';
  return [`${sheet.stack} terminals on this stud, the largest current next to the metal${rest}.`];
}

function warningTexts({ sheet, warnings, bolt }: SheetShown, units: Units, locale: Locale): string[] {
  const said: Record<string, string | null> = {
    'unlike-faces': sheet.faces
      ? `${capital(sheet.faces.first)} on ${sheet.faces.second}: ${volts(sheet.faces.difference_volts, locale)} apart, more than the ${volts(sheet.faces.allowed_volts, locale)} usual for ${sheet.environment}${sheet.environment_assumed ? ' (assumed)' : ''}. Wet, the ${sheet.faces.corrodes} goes: seal it, or plate one.`
      : null,
    'too-many-terminals': 'One stud holds four terminals at the most: join studs with a bus.',
    'above-highest-torque': `${bolt ? `${show(bolt.torque_newton_metres, 'torque', { units, locale })} is` : 'This is'} above the highest torque of such a screw.`,
    'beyond-proof-load':
      'With little friction this torque stretches the bolt for good: ask the maker before tightening.',
  };
  return warnings.map((own) => said[own] ?? null).filter((own) => own !== null);
}

function practices(own: SheetShown, words: Readonly<Record<string, string>>): string[] {
  const said = new Set(adviceFor(own).map(({ subject }) => subject));
  return Object.entries(words)
    .filter(([key]) => said.has(key))
    .map(([, text]) => text);
}

/** The advice that a job sheet repeats: a post's clamp has no faces for washers, and is coated whole. */
function adviceFor({ sheet }: SheetShown): PracticeTold[] {
  const post = sheet.place?.kind.includes('post') ?? false;
  return sheet.advice.filter(({ subject }) => subject === 'battery posts' || (!post && subject in SAID));
}

function volts(value: number, locale: Locale): string {
  return show(value, 'volts', { locale });
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
