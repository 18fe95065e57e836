/** What an answer says to a person: sentences and tables whose pieces are names and quantities, as the program sends them. */
import { type Form, POINT } from '../quantity/format';

export interface Told {
  readonly blocks: readonly Block[];
  /** What stands beside a thing, on a card or a sheet of its own. */
  readonly beside?: readonly Part[];
}

export type Block =
  | { readonly paragraph: Paragraph }
  | { readonly table: Table }
  | { readonly bars: readonly Bar[] }
  | { readonly part: Part }
  /** Some air. */
  | 'gap';

/** May be shown alone; where all is said, its blocks stand in their place. */
export interface Part extends Told {
  /** `repairs.0` is the first of `repairs`. */
  readonly key: string;
  /** What a heading or a button calls it. */
  readonly title: Line;
}

export interface Paragraph {
  /** Stands before it: a number with its place, a mark. */
  readonly lead: Line;
  readonly text: Line;
  /** By how many letters the lines after the first are set in. */
  readonly hang: number;
  /** One line however long, such as a head. */
  readonly whole: boolean;
  /** How all of `text` is said. */
  readonly tone: Tone;
  /** Stands behind it. */
  readonly behind?: Line;
}

export type Tone = 'plain' | 'strong' | 'aside' | 'warning';

export type Span =
  | { readonly words: string }
  /** A name that somebody gave, as it stands in the file. */
  | { readonly name: string }
  | { readonly quantity: Quantity }
  | { readonly toned: { readonly tone: Tone; readonly line: Line } }
  /** Filled up with blanks before it to a number of letters, as numbers are. */
  | { readonly padded: { readonly line: Line; readonly letters: number } }
  /** Never broken into two lines. */
  | { readonly unbroken: { readonly line: Line } }
  /** Marks a cell of a table that wants attention. */
  | 'attention';

export type Line = readonly Span[];

export interface Quantity {
  readonly metric: string;
  /** Left out where both write it the same. */
  readonly us?: string | null;
}

export interface Table {
  readonly columns: readonly Column[];
  /** Each with a cell for each column. */
  readonly rows: readonly (readonly Line[])[];
}

export type Column = { readonly left: string } | { readonly right: string } | { readonly spare: string };

/** What a piece costs: an amount, a bar for it, the piece, figures beside it. */
export interface Bar {
  readonly amount: Quantity;
  /** Its part of the longest bar, 0 to 1. */
  readonly share: number;
  readonly name: string;
  readonly note: string | null;
  /** Each with the letters that it is given. */
  readonly figures: readonly (readonly [Quantity, number])[];
}

/** A quantity in the person's units, on one line. */
export function quantityText({ metric, us }: Quantity, { units = 'metric', locale = POINT }: Form = {}): string {
  const text = units === 'us' ? (us ?? metric) : metric;
  return text.replace(/(?<=\d)\.(?=\d)/, locale.decimal).replaceAll(' ', '\u00a0');
}

/** Words of ours, without marks of what is typed and what they say of the command line: those mean nothing on a page. */
export function wordsText(words: string): string {
  return words
    .replace(/\s*\(`(?:--|groundloom )[^`]*`[^)]*\)/gu, '')
    .replace(/[;,:]?\s*`(?:--|groundloom )[^`]*`[^;.]*/gu, '')
    .replaceAll('`', '');
}

/** A line as plain text, for the ear and for what holds no elements. */
export function lineText(line: Line, form: Form = {}, nameOf: (name: string) => string = (own) => own): string {
  return line.map((span) => spanText(span, form, nameOf)).join('');
}

function spanText(span: Span, form: Form, nameOf: (name: string) => string): string {
  if (span === 'attention') return '! ';
  if ('words' in span) return wordsText(span.words);
  if ('name' in span) return nameOf(span.name);
  if ('quantity' in span) return quantityText(span.quantity, form);
  return lineText(innerLine(span), form, nameOf);
}

/** What is said in another tone, filled up or not broken. */
export function innerLine(span: Inner): Line {
  if ('toned' in span) return span.toned.line;
  return 'padded' in span ? span.padded.line : span.unbroken.line;
}

type Inner = Extract<Span, { toned: unknown } | { padded: unknown } | { unbroken: unknown }>;

/** A part of what is said; nothing where it is not there. */
export function partOf(told: Told | null | undefined, key: string): Part | null {
  return told ? (allParts(told).find((own) => own.key === key) ?? null) : null;
}

/** All parts `name.0`, `name.1` and so on, in their order. */
export function partsNamed(told: Told | null | undefined, name: string): Part[] {
  const own = new RegExp(`^${name}\\.\\d+$`);
  return told ? allParts(told).filter(({ key }) => own.test(key)) : [];
}

function allParts({ blocks, beside = [] }: Told): Part[] {
  return [...partsOf(blocks), ...beside];
}

function partsOf(blocks: readonly Block[]): Part[] {
  return blocks.flatMap((block) =>
    typeof block === 'object' && 'part' in block ? [block.part, ...partsOf(block.part.blocks)] : [],
  );
}

/** How a heading or a button calls a part. */
export function titleOf(part: Part | null, form: Form = {}, nameOf: (name: string) => string = (own) => own): string {
  if (part === null) return '';
  const text = lineText(part.title, form, nameOf);
  const [first] = part.title;
  const words = typeof first === 'object' && 'words' in first;
  return words ? text.charAt(0).toUpperCase() + text.slice(1) : text;
}

/** What stands behind the first line of a part. */
export function behindOf(part: Part | null): Line {
  const [head] = part?.blocks ?? [];
  return typeof head === 'object' && 'paragraph' in head ? (head.paragraph.behind ?? []) : [];
}

/** What is said in rows with a head each. */
export function rowsOf(part: Part | null): { readonly head: string; readonly told: Told }[] {
  return paragraphsOf(part)
    .filter(({ lead }) => lead.length > 0)
    .map((own) => ({ head: lineText(own.lead), told: { blocks: [{ paragraph: { ...own, lead: [] } }] } }));
}

/** What stands below those rows; nothing where nothing does. */
export function belowRows(part: Part | null): Told | null {
  const below = paragraphsOf(part).filter(({ lead }) => lead.length === 0);
  return below.length > 0 ? { blocks: below.map((paragraph) => ({ paragraph })) } : null;
}

function paragraphsOf(part: Part | null): Paragraph[] {
  return (part?.blocks ?? []).flatMap((block) =>
    typeof block === 'object' && 'paragraph' in block ? [block.paragraph] : [],
  );
}

/** The first paragraph wants attention. */
export function isWarning(part: Part): boolean {
  return paragraphsOf(part)[0]?.tone === 'warning';
}

/** A part's table; nothing where it says that there is nothing. */
export function tableOf(part: Part | null): Table | null {
  const tables = (part?.blocks ?? []).flatMap((block) =>
    typeof block === 'object' && 'table' in block ? [block.table] : [],
  );
  return tables[0] ?? null;
}

/** A row of a table as text, without its first cell: `carries 240 A, limit in 2.1 s`. */
export function rowText({ columns, rows }: Table, at: number, form: Form, nameOf: (name: string) => string): string {
  const cells = (rows[at] ?? []).map((cell, i) => ({ head: columns[i], said: lineText(cell, form, nameOf) }));
  const told = cells.slice(1).filter(({ said }) => said !== '');
  return told.map(({ head, said }) => `${head ? Object.values(head)[0] : ''} ${said}`.trim()).join('; ');
}

/** All paragraphs of a part as one text. */
export function saidText(part: Part | null, form: Form, nameOf: (name: string) => string): string {
  const each = paragraphsOf(part).map(({ text }) => lineText(text, form, nameOf));
  return each.join('; ');
}

/** The line wants attention. */
export function wantsAttention(line: Line): boolean {
  return line.some((span) => {
    if (typeof span === 'string') return true;
    return 'toned' in span && wantsAttention(span.toned.line);
  });
}

/** Without the line that names vehicle and state, for a place that names them already. */
export function withoutHead({ blocks }: Told): Told {
  const [head, air] = blocks;
  if (typeof head !== 'object' || !('paragraph' in head)) return { blocks };
  const [first] = head.paragraph.text;
  const names = typeof first === 'object' && 'toned' in first && first.toned.tone === 'strong';
  if (!head.paragraph.whole || !names) return { blocks };
  return { blocks: blocks.slice(air === 'gap' ? 2 : 1) };
}
