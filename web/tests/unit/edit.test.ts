import { describe, expect, test } from 'vitest';
import { addConductor, lineOf, setResistance, setSize } from '../../src/lib/editor/edit';
import { thingAt } from '../../src/lib/editor/thing';

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

describe('a small change to the file', () => {
  test('sets a joint that has a table of its own, after its last key', () => {
    const changed = setResistance(FILE, 'main-negative.to', '0.4 mΩ');
    expect(changed).toContain('torque = "40 N·m"\nresistance = "0.4 mΩ"\n\n[conductors.main-body]');
  });

  test('sets a joint inside an inline table, whatever its texts hold', () => {
    const changed = setResistance(FILE, 'main-body.from', '5 mΩ');
    expect(changed).toContain('note = "second eye, with {braces}", resistance = "5 mΩ" }');
  });

  test('turns a plain point into a table with the joint', () => {
    expect(setResistance(FILE, 'main-body.to', '5 mΩ')).toContain(
      'to = { point = "body/left-front", resistance = "5 mΩ" }',
    );
  });

  test('replaces a value that is there, and nothing else', () => {
    const once = setResistance(FILE, 'f-lamps', '7 mΩ') ?? '';
    expect(once).toContain('f-lamps = { from = "cabin-bus", rating = "25 A", resistance = "7 mΩ" }');
    expect(setResistance(once, 'f-lamps', '4 mΩ')).toBe(FILE);
  });

  test('keeps the remark behind a size', () => {
    expect(setSize(FILE, 'main-negative', '95 mm²')).toContain('size = "95 mm²"   # as bought');
  });

  test('gives nothing for what it cannot find', () => {
    expect(setResistance(FILE, 'nowhere.to', '1 Ω')).toBeNull();
    expect(setSize(FILE, 'nowhere', '1 mm²')).toBeNull();
  });

  test('a new cable gets a name that is free', () => {
    const cable = { from: 'main/-', to: 'block/front', squareMillimetres: 25, metres: 0.6 };
    const once = addConductor(FILE, cable);
    expect(once.id).toBe('added-main-minus-block-front');
    expect(once.text.startsWith(FILE)).toBe(true);
    expect(addConductor(once.text, cable).id).toBe('added-main-minus-block-front-2');
  });
});

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
