/**
 * Small changes to the text of a vehicle file. Only the touched value changes: comments, order and blank lines stay.
 * What this cannot place safely gives null, and the person is taken to the line instead.
 */

/** A line, from 1, and the columns of a value in it, from 0. */
export interface Found {
  readonly line: number;
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

/** Sets `size` of a conductor or lead. */
export function setSize(text: string, id: string, size: string): string | null {
  return setIn(text, id.split('.'), 'size', size);
}

/** Sets `resistance` of a joint, a fuse, a switch or an incidental path. */
export function setResistance(text: string, id: string, ohms: string): string | null {
  return setIn(text, id.split('.'), 'resistance', ohms);
}

/** Sets a key of the thing at this path of names, wherever the file wrote it. */
function setIn(text: string, path: readonly string[], key: string, value: string): string | null {
  const [head = '', ...keys] = path;
  const lines = text.split('\n');
  const own = lines.findIndex((line) =>
    new RegExp(`^\\s*\\[[a-z]+\\.${escaped(path.join('.'))}\\]\\s*(#.*)?$`).test(line),
  );
  if (own >= 0) return setInTable(lines, own, key, value);
  if (keys.length === 0) {
    const row = lines.findIndex((line) => new RegExp(`^\\s*${escaped(head)}\\s*=\\s*\\{`).test(line));
    return row < 0 ? null : replaced(lines, row, setInInline(lines[row] ?? '', key, value));
  }
  // The last name is a key of the table of what comes before it: `to = { … }` or `to = "point"`.
  const parents = path.slice(0, -1);
  const last = keys.at(-1) ?? '';
  const parent = lines.findIndex((line) =>
    new RegExp(`^\\s*\\[[a-z]+\\.${escaped(parents.join('.'))}\\]\\s*(#.*)?$`).test(line),
  );
  if (parent >= 0) {
    for (let at = parent + 1; at < lines.length && !/^\s*\[/.test(lines[at] ?? ''); at += 1) {
      if (new RegExp(`^\\s*${escaped(last)}\\s*=`).test(lines[at] ?? ''))
        return replaced(lines, at, setInInline(lines[at] ?? '', key, value));
    }
    return null;
  }
  return null;
}

function setInTable(lines: readonly string[], header: number, key: string, value: string): string {
  let at = header + 1;
  let last = header;
  for (; at < lines.length && !/^\s*\[/.test(lines[at] ?? ''); at += 1) {
    const line = lines[at] ?? '';
    if (new RegExp(`^\\s*${key}\\s*=`).test(line)) {
      return replaced(lines, at, line.replace(/=\s*"[^"]*"/, `= "${value}"`)) ?? lines.join('\n');
    }
    if (line.trim() !== '' && !line.trim().startsWith('#')) last = at;
  }
  return [...lines.slice(0, last + 1), `${key} = "${value}"`, ...lines.slice(last + 1)].join('\n');
}

/** Sets a key of an inline table that stands on one line; a plain point becomes a table. */
function setInInline(line: string, key: string, value: string): string | null {
  const plain = /^(\s*[\w-]+\s*=\s*)("[^"]*")(\s*(?:#.*)?)$/.exec(line);
  if (plain) return `${plain[1]}{ point = ${plain[2]}, ${key} = "${value}" }${plain[3]}`;
  const open = line.indexOf('{');
  const close = closing(line, open);
  if (open < 0 || close < 0) return null;
  const inside = line.slice(open + 1, close);
  const there = new RegExp(`(^|[,{\\s])${key}\\s*=\\s*"[^"]*"`);
  const changed = there.test(inside)
    ? inside.replace(there, (match) => match.replace(/=\s*"[^"]*"/, `= "${value}"`))
    : `${inside.trimEnd()}, ${key} = "${value}" `;
  return line.slice(0, open + 1) + changed + line.slice(close);
}

/** The brace that closes the one at `open`, quotes respected. */
function closing(line: string, open: number): number {
  let depth = 0;
  let quoted = false;
  for (let at = Math.max(0, open); at < line.length; at += 1) {
    const sign = line[at];
    if (sign === '"' && line[at - 1] !== '\\') quoted = !quoted;
    if (quoted) continue;
    if (sign === '{') depth += 1;
    if (sign === '}') {
      depth -= 1;
      if (depth === 0) return at;
    }
  }
  return -1;
}

function replaced(lines: readonly string[], at: number, line: string | null): string | null {
  return line === null ? null : [...lines.slice(0, at), line, ...lines.slice(at + 1)].join('\n');
}

/** Appends a new cable with bolted lugs. */
export function addConductor(
  text: string,
  { from, to, squareMillimetres, metres }: { from: string; to: string; squareMillimetres: number; metres: number },
): { text: string; id: string } {
  const base = `added-${from}-${to}`
    .replaceAll('/+', '-plus')
    .replaceAll('/-', '-minus')
    .replaceAll(/[^\w-]+/g, '-')
    .replace(/-+$/, '');
  let id = base;
  for (let n = 2; lineOf(text, id) !== null; n += 1) id = `${base}-${n}`;
  const block = `\n[conductors.${id}]\nsize = "${squareMillimetres} mm²"\nlength = "${metres} m"\nfrom = { point = "${from}", joint = "bolted lug" }\nto = { point = "${to}", joint = "bolted lug" }\n`;
  return { text: `${text.replace(/\n*$/, '\n')}${block}`, id };
}
