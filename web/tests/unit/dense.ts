/** The same question by plain Gaussian elimination: slow, short, and with nothing in common with the update. */
export interface Resistor {
  readonly a: number;
  readonly b: number;
  readonly ohms: number;
}

export interface Source {
  readonly a: number;
  readonly b: number;
  readonly volts: number;
  readonly ohms: number;
}

/** Volts of all points against point 0, with one more ampere pushed from `pushed.b` into `pushed.a` when given. */
export function dense(resistors: readonly Resistor[], source: Source, n: number, pushed: Resistor | null): number[] {
  const a = Array.from({ length: n }, () => new Array<number>(n + 1).fill(0));
  const add = (row: number, column: number, value: number): void => {
    const line = a[row];
    if (line) line[column] = (line[column] ?? 0) + value;
  };
  for (const { a: p, b: q, ohms } of [...resistors, source]) {
    add(p, p, 1 / ohms);
    add(q, q, 1 / ohms);
    add(p, q, -1 / ohms);
    add(q, p, -1 / ohms);
  }
  add(source.a, n, source.volts / source.ohms);
  add(source.b, n, -source.volts / source.ohms);
  if (pushed) {
    add(pushed.a, n, 1);
    add(pushed.b, n, -1);
  }
  a[0] = a[0]?.map((_, i) => (i === 0 ? 1 : 0)) ?? [];
  for (let k = 0; k < n; k += 1) {
    const pivot = a[k] ?? [];
    for (let i = 0; i < n; i += 1) {
      const row = a[i];
      if (i === k || !row) continue;
      const f = (row[k] ?? 0) / (pivot[k] ?? 1);
      for (let j = k; j <= n; j += 1) row[j] = (row[j] ?? 0) - f * (pivot[j] ?? 0);
    }
  }
  return a.map((row, i) => (row[n] ?? 0) / (row[i] ?? 1));
}
