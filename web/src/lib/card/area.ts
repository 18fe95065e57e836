/** The metal section that a size text means, for stepping through sizes; null when the program must be asked. */

/** Square millimetres of "35 mm²", "4 AWG", "2/0 AWG", "braid 25 mm²", "braid 26000 cmil". */
export function areaOf(size: string | null): number | null {
  if (size === null) return null;
  const metric = /([\d.,]+)\s*mm[²2]/.exec(size);
  if (metric?.[1]) return Number(metric[1].replace(',', '.'));
  const aught = /(\d+)\/0\s*AWG/i.exec(size);
  if (aught?.[1]) return gaugeArea(1 - Number(aught[1]));
  const gauge = /(\d+)\s*AWG/i.exec(size);
  if (gauge?.[1]) return gaugeArea(Number(gauge[1]));
  const mils = /([\d.]+)\s*cmil/.exec(size);
  // A circular mil is the area of a circle of one thousandth of an inch.
  if (mils?.[1]) return Number(mils[1]) * 5.067_075e-4;
  return null;
}

/** Area of an American wire gauge, mm² (ASTM B258). */
function gaugeArea(n: number): number {
  const diameter = 0.127 * 92 ** ((36 - n) / 39);
  return (Math.PI * diameter ** 2) / 4;
}
