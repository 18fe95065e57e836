/** What a report says many times is written in it once. */

export interface Written {
  /** Each refers to earlier ones alone. */
  readonly shared: readonly unknown[];
  readonly whole: unknown;
}

/** What was written, whole again: an object with the only key `=` stands for the entry of that number. */
export function whole(written: Written | null): unknown {
  if (written === null) return null;
  const shared: unknown[] = [];
  for (const own of written.shared) shared.push(unfolded(own, shared));
  return unfolded(written.whole, shared);
}

function unfolded(value: unknown, shared: readonly unknown[]): unknown {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return value.map((own) => unfolded(own, shared));
  const entries = Object.entries(value);
  const [first] = entries;
  if (entries.length === 1 && first?.[0] === '=') return shared[first[1] as number];
  return Object.fromEntries(entries.map(([key, own]) => [key, unfolded(own, shared)]));
}
