import { describe, expect, test } from 'vitest';
import { lineOf, thingAt } from '../../src/lib/editor/thing';

const FILE = `# kept
[conductors.main-negative]
size = "70 mm²"   # as bought

[conductors.main-negative.to]
point = "block/front"
torque = "40 N·m"

[conductors.main-body]
size = "25 mm²"
from = { point = "main/-", joint = "post clamp", note = "second eye, with {braces}" }
to = "body/left-front"

[loads.winch.feed]
from = { point = "isolator/out" }

[fuses]
f-lamps = { from = "cabin-bus", rating = "25 A", resistance = "4 mΩ" }
`;

describe('file and plan find each other', () => {
  test.each([
    ['main-negative', 2],
    ['main-negative.to', 5],
    ['main-body.from', 9],
    ['winch', 14],
    ['f-lamps', 18],
  ])('%s begins in line %d', (id, line) => {
    expect(lineOf(FILE, id)).toBe(line);
  });

  test.each([
    [3, 'main-negative'],
    [6, 'main-negative.to'],
    [11, 'main-body.from'],
    [15, 'winch'],
    [18, 'f-lamps'],
    [1, null],
  ])('line %d is about %s', (line, id) => {
    expect(thingAt(FILE, line)).toBe(id);
  });
});
