/** Which thing of the plan a line of the file is about, and the other way round. */

const TABLES = new Set([
  'conductors',
  'loads',
  'batteries',
  'alternators',
  'converters',
  'points',
  'incidental',
  'fuses',
  'switches',
  'diodes',
  'chargers',
  'solar',
]);

/** The name as the plan knows it; null where the line is about nothing that can be drawn. */
export function thingAt(text: string, line: number): string | null {
  const lines = text.split('\n').slice(0, line);
  const header = lines.findLast((one) => /^\s*\[/.test(one));
  const path = /^\s*\[\[?([^\]]+)\]/.exec(header ?? '')?.[1]?.split('.') ?? [];
  const [table = '', name, ...rest] = path;
  if (table === 'structures') return null;
  if (!TABLES.has(table)) return null;
  const row = /^\s*([\w-]+)\s*=\s*\{/.exec(lines.at(-1) ?? '')?.[1];
  if (name === undefined) return row ?? null;
  const ends = table === 'conductors' ? ['from', 'to'] : [];
  if (rest.length === 0 && row && ends.includes(row)) return `${name}.${row}`;
  return rest.length > 0 && table === 'conductors' ? `${name}.${rest.join('.')}` : name;
}

/** The line that begins the thing of this name: its table, or its row in a parent table. */
export function lineOf(text: string, id: string): number | null {
  const lines = text.split('\n');
  for (const way of waysTo(id)) {
    const at = lines.findIndex((line) => way.test(line));
    if (at >= 0) return at + 1;
  }
  return null;
}

function waysTo(id: string): RegExp[] {
  const [head = '', ...rest] = id.split('.');
  const name = escaped(head.includes('/') ? (head.split('/')[0] ?? head) : head);
  const ways: RegExp[] = [];
  if (rest.length > 0) {
    ways.push(new RegExp(`^\\s*\\[[a-z]+\\.${name}\\.${rest.map(escaped).join('\\.')}\\]`));
  }
  ways.push(
    new RegExp(`^\\s*\\[[a-z]+\\.${name}\\]`),
    new RegExp(`^\\s*${name}\\s*=\\s*\\{`),
    new RegExp(`^\\s*\\[[a-z]+\\.${name}\\.`),
  );
  return ways;
}

function escaped(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
}
