import { describe, expect, test } from 'vitest';
import type { Column } from '../../src/lib/api/picture';
import { ampsThrough, conductanceChange, voltsWith } from '../../src/lib/live/update';
import { dense, type Resistor } from './dense';

/** A battery of 12 V behind 5 mΩ feeds a load of 0.1 Ω; two parallel ways home. */
const RESISTORS: readonly Resistor[] = [
  { a: 1, b: 2, ohms: 0.0012 },
  { a: 2, b: 3, ohms: 0.1 },
  { a: 3, b: 4, ohms: 0.0005 },
  { a: 4, b: 0, ohms: 0.002 },
  { a: 3, b: 5, ohms: 0.004 },
  { a: 5, b: 0, ohms: 0.001 },
];
const SOURCE = { a: 1, b: 0, volts: 12, ohms: 0.005 };
const N = 6;

function columnOf(k: number): Column {
  const own = RESISTORS[k] as Resistor;
  const volts = dense(RESISTORS, SOURCE, N, null);
  const column = dense(RESISTORS, { ...SOURCE, volts: 0 }, N, own);
  return {
    format: 1,
    state: 's',
    piece: `r${k}`,
    between: [`p${own.a}`, `p${own.b}`],
    points: volts.map((_, i) => `p${i}`),
    volts,
    column,
    across_volts: (volts[own.a] ?? 0) - (volts[own.b] ?? 0),
    own_ohms: (column[own.a] ?? 0) - (column[own.b] ?? 0),
    branch_ohms: own.ohms,
    piece_ohms: own.ohms / 2,
  };
}

describe('one changed resistance, by the rank-one update', () => {
  test.each([0, 2, 3, 4, 5])('agrees with a solution from scratch when resistor %d changes a thousandfold', (k) => {
    const column = columnOf(k);
    const own = RESISTORS[k] as Resistor;
    for (const factor of [0.01, 0.1, 0.5, 2, 10, 1000]) {
      const piece = (own.ohms / 2) * factor;
      const changed = RESISTORS.map((one, i) => (i === k ? { ...one, ohms: own.ohms / 2 + piece } : one));
      const exact = dense(changed, SOURCE, N, null);
      const quick = voltsWith(column, piece);
      for (const [i, volts] of exact.entries()) expect(quick.get(`p${i}`)).toBeCloseTo(volts, 9);
      const amps = ((exact[own.a] ?? 0) - (exact[own.b] ?? 0)) / (own.ohms / 2 + piece);
      expect(ampsThrough(column, piece)).toBeCloseTo(amps, 6);
    }
  });

  test('agrees when a new cable is drawn', () => {
    const volts = dense(RESISTORS, SOURCE, N, null);
    const column = dense(RESISTORS, { ...SOURCE, volts: 0 }, N, { a: 3, b: 0, ohms: 1 });
    const drawn: Column = {
      format: 1,
      state: 's',
      piece: null,
      between: ['p3', 'p0'],
      points: volts.map((_, i) => `p${i}`),
      volts,
      column,
      across_volts: (volts[3] ?? 0) - (volts[0] ?? 0),
      own_ohms: (column[3] ?? 0) - (column[0] ?? 0),
      branch_ohms: null,
      piece_ohms: 0,
    };
    const exact = dense([...RESISTORS, { a: 3, b: 0, ohms: 0.0007 }], SOURCE, N, null);
    const quick = voltsWith(drawn, 0.0007);
    for (const [i, value] of exact.entries()) expect(quick.get(`p${i}`)).toBeCloseTo(value, 9);
  });

  test('its own resistance changes nothing', () => {
    const column = columnOf(3);
    expect(conductanceChange(column, column.piece_ohms)).toBeCloseTo(0, 9);
    expect([...voltsWith(column, column.piece_ohms).values()]).toEqual(
      column.volts.map((v) => expect.closeTo(v ?? 0, 12)),
    );
  });

  test('a point that nothing joins to zero volts stays unknown', () => {
    const column = columnOf(3);
    const loose: Column = {
      ...column,
      points: [...column.points, 'loose'],
      volts: [...column.volts, null],
      column: [...column.column, null],
    };
    expect(voltsWith(loose, 1).get('loose')).toBeNull();
  });
});
