/** What may stand at a place in a vehicle file, by its JSON Schema. */

export interface Schema {
  readonly type?: string;
  readonly description?: string;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly additionalProperties?: Schema | boolean;
  readonly items?: Schema;
  readonly enum?: readonly string[];
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly examples?: readonly string[];
  readonly required?: readonly string[];
}

export interface Offer {
  readonly label: string;
  readonly apply: string;
  readonly detail: string;
}

export interface Place {
  /** Names from the root to the table that the cursor is in. */
  readonly path: readonly string[];
  /** The key whose value the cursor is in; null where a key is expected. */
  readonly key: string | null;
  /** What is typed so far, and how many characters of it. */
  readonly prefix: string;
}

/** Where the cursor is: the table above it, inline tables on its line, a key or a value. */
export function placeAt(before: string): Place {
  const lines = before.split('\n');
  const line = lines.at(-1) ?? '';
  const header = lines.slice(0, -1).findLast((one) => /^\s*\[/.test(one)) ?? '';
  const path =
    /^\s*\[\[?([^\]]*)\]/
      .exec(header)?.[1]
      ?.split('.')
      .map((name) => name.trim().replaceAll('"', '')) ?? [];
  return withinLine(line, path);
}

function withinLine(line: string, table: readonly string[]): Place {
  if (/^\s*\[/.test(line)) {
    const names = line.replace(/^\s*\[\[?/, '').split('.');
    return { path: names.slice(0, -1), key: null, prefix: names.at(-1) ?? '' };
  }
  const path = [...table];
  let rest = line.replace(/^\s*/, '');
  for (;;) {
    const open = /^([\w-]+)\s*=\s*\{/.exec(rest);
    if (!open) break;
    path.push(open[1] ?? '');
    rest = lastPart(rest.slice(open[0].length));
  }
  const value = /^([\w-]+)\s*=\s*\[?\s*"?([^"]*)$/.exec(rest);
  if (value) return { path, key: value[1] ?? null, prefix: value[2] ?? '' };
  return { path, key: null, prefix: rest.trim() };
}

/** What follows the last comma that is outside quotes. */
function lastPart(text: string): string {
  let quoted = false;
  let start = 0;
  for (let at = 0; at < text.length; at += 1) {
    if (text[at] === '"') quoted = !quoted;
    if (text[at] === ',' && !quoted) start = at + 1;
  }
  return text.slice(start).replace(/^\s*/, '');
}

/** Offers for a place; `points` are the names of points in this file. */
export function offersFor(place: Place, schema: Schema, points: readonly string[]): Offer[] {
  const table = walk(schema, place.path);
  if (!table) return [];
  if (place.key === null) {
    return Object.entries(propertiesOf(table)).map(([name, of]) => ({
      label: name,
      apply: isTable(of) ? name : `${name} = `,
      detail: of.description ?? '',
    }));
  }
  const of = propertiesOf(table)[place.key];
  if (!of) return [];
  const words = wordsOf(of).map((word) => ({ label: word, apply: word, detail: '' }));
  const named = POINT_KEYS.has(place.key)
    ? points.map((point) => ({ label: point, apply: point, detail: 'point' }))
    : [];
  const examples =
    words.length === 0 ? examplesOf(of).map((label) => ({ label, apply: label, detail: 'for example' })) : [];
  return [...words, ...named, ...examples];
}

const POINT_KEYS = new Set(['point', 'from', 'to', 'sense', 'case', 'red', 'black']);

function walk(schema: Schema, path: readonly string[]): Schema | undefined {
  let at: Schema | undefined = schema;
  for (const name of path) {
    at = at && childOf(at, name);
    if (at?.items) at = at.items;
  }
  return at;
}

function childOf(schema: Schema, name: string): Schema | undefined {
  const own = propertiesOf(schema)[name];
  if (own) return own;
  for (const one of [schema, ...(schema.anyOf ?? []), ...(schema.oneOf ?? [])]) {
    if (typeof one.additionalProperties === 'object') return one.additionalProperties;
  }
  return undefined;
}

function propertiesOf(schema: Schema): Readonly<Record<string, Schema>> {
  return Object.assign(
    {},
    ...[schema, ...(schema.anyOf ?? []), ...(schema.oneOf ?? [])].map((one) => one.properties ?? {}),
  ) as Record<string, Schema>;
}

function isTable(schema: Schema): boolean {
  return schema.type === 'object' && schema.enum === undefined;
}

function wordsOf(schema: Schema): string[] {
  return [schema, ...(schema.anyOf ?? []), ...(schema.items ? [schema.items] : [])].flatMap((one) => [
    ...(one.enum ?? []),
  ]);
}

function examplesOf(schema: Schema): string[] {
  return [schema, ...(schema.anyOf ?? [])].flatMap((one) => [...(one.examples ?? [])]);
}
