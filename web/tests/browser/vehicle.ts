/** A made-up vehicle of any size, as a file: one battery, straps along a frame, loads on both sides. */
export function vehicleFile(joints: number): string {
  // Each load has four joints: two of its feed, two of its return.
  const n = Math.max(1, Math.round((joints - 10) / 4));
  const stations = Math.min(12, Math.max(2, Math.round(n / 3)));
  const spot = (i: number): string => (0.8 - (5.2 * i) / (stations - 1)).toFixed(2);
  const lines = [
    'format = 1',
    '',
    '[vehicle]',
    `name = "Made up, ${joints} joints"`,
    'nominal = "12 V"',
    'states = ["resting", "cranking", "running"]',
    '',
    '[structures.frame]',
    'name = "frame"',
    'material = "carbon steel"',
    'section = "1000 mm²"',
    '',
    '[structures.frame.points]',
    ...Array.from(
      { length: stations },
      (_, i) => `s${i} = { at = ["${spot(i)} m", "${(i % 2 ? 0.42 : -0.42).toFixed(2)} m"] }`,
    ),
    '',
    '[points.bus]',
    'at = ["0.30 m", "0.50 m"]',
    '',
    '[batteries.main]',
    'cranking = "800 A"',
    'at = ["0.40 m", "0.60 m"]',
    '',
    '[conductors.main-positive]',
    'size = "70 mm²"',
    'length = "0.6 m"',
    'from = "main/+"',
    'to = "bus"',
    '',
    '[conductors.main-negative]',
    'size = "70 mm²"',
    'length = "0.6 m"',
    'from = "main/-"',
    'to = "frame/s0"',
    '',
    '[conductors.frame-strap]',
    'size = "braid 25 mm²"',
    'length = "0.5 m"',
    'from = "main/-"',
    `to = "frame/s${Math.min(2, stations - 1)}"`,
    '',
    '[loads.starter]',
    'kind = "starter"',
    'draws = "400 A"',
    'on = ["cranking"]',
    'minimum = "8 V"',
    'at = ["-0.30 m", "-0.20 m"]',
    'feed = { from = "bus", size = "70 mm²", length = "1.2 m" }',
    'case = "frame/s1"',
    '',
  ];
  for (let i = 0; i < n; i += 1) {
    const at = 0.6 - (5 * i) / n;
    const side = i % 2 === 0 ? 0.7 : -0.7;
    lines.push(
      `[loads.load-${i}]`,
      `kind = "${(['lamp', 'motor', 'electronics', 'resistive'] as const)[i % 4]}"`,
      `draws = "${2 + (i % 9)} A"`,
      'on = ["running"]',
      `at = ["${at.toFixed(2)} m", "${(side + (i % 3) * 0.08).toFixed(2)} m"]`,
      `feed = { from = "bus", size = "2.5 mm²", length = "${(1 + Math.abs(at)).toFixed(1)} m" }`,
      `return = { to = "frame/s${i % stations}", size = "2.5 mm²", length = "0.6 m" }`,
      '',
    );
  }
  return lines.join('\n');
}
