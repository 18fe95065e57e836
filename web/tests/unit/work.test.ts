import { describe, expect, test } from 'vitest';
import type { Picture } from '../../src/lib/api/picture';
import { addedBy } from '../../src/lib/card/judge';
import { type SheetShown, sourcesOf } from '../../src/lib/work/sheet';
import { jointsOf, stepsOf } from '../../src/lib/work/steps';

const SPACE = '\u00a0';

const picture = {
  conductors: [{ id: 'strap', size: '35 mm²', metres: 0.6, from_joint: 'strap.from', to_joint: 'strap.to' }],
  joints: [
    { id: 'strap.from', kind: 'post clamp', point: 'main/-', torque_newton_metres: null, protection: null },
    { id: 'strap.to', kind: 'bolted lug', point: 'block/front', torque_newton_metres: 40, protection: 'wax' },
  ],
} as unknown as Picture;

const practice = (subject: string) => ({
  subject,
  practice: subject,
  source: `of ${subject}`,
  confidence: 'confirmed',
});

const lug: SheetShown = {
  joint: 'strap.to',
  thread: 'M10',
  torque_from: 'file',
  torque_source: null,
  torque_confidence: null,
  bolt: {
    class: '8.8',
    class_assumed: true,
    torque_newton_metres: 40,
    clamp_newtons: { low: 12_700, nominal: 20_000, high: 26_700 },
  },
  connections: [],
  warnings: ['unlike-faces'],
  sheet: {
    place: { kind: 'bolted lug', fastened: true },
    environment: 'coast',
    environment_assumed: false,
    faces: {
      first: 'tin plate',
      second: 'carbon steel',
      difference_volts: 0.2,
      allowed_volts: 0.15,
      corrodes: 'carbon steel',
    },
    stack: 2,
    stacked: ['strap.to', 'other.from'],
    washer: 'serrated, under the nut only',
    forming: null,
    advice: ['clean the faces', 'no washer between faces', 'seal after assembly', 'grease', 'similar metals'].map(
      practice,
    ),
  },
};
const post: SheetShown = {
  ...lug,
  joint: 'strap.from',
  thread: null,
  torque_from: null,
  bolt: null,
  connections: [
    {
      connection: 'battery post clamp',
      low_newton_metres: 5,
      high_newton_metres: 8,
      source: 'manuals',
      confidence: 'derived',
    },
  ],
  warnings: [],
  sheet: {
    ...lug.sheet,
    place: { kind: 'post clamp', fastened: true },
    faces: null,
    stack: 1,
    stacked: [],
    washer: null,
    advice: ['battery posts', 'no washer between faces', 'seal after assembly'].map(practice),
  },
};

const texts = (
  action: Parameters<typeof stepsOf>[0],
  sheets: SheetShown[],
  units: 'metric' | 'us' = 'metric',
): string[] =>
  stepsOf(action, { picture, units, sheets: new Map(sheets.map((own) => [own.joint, own])) }).map(({ lead, text }) =>
    lead ? `${lead}: ${text}` : text,
  );

describe('the steps of a job', () => {
  test('a joint with a sheet is told its faces, washers, stack, torque, protection and what is wrong with it', () => {
    const told = texts({ clean: 'strap.to' }, [lug]);
    expect(told).toContain(
      `Tin plate on carbon steel: 0.20${SPACE}V apart, more than the 0.15${SPACE}V usual for coast. Wet, the carbon steel goes: seal it, or plate one.`,
    );
    expect(told.find((text) => text.startsWith('Both faces (tin plate on carbon steel)'))).toBeDefined();
    expect(told.find((text) => text.startsWith('Washers in the file: serrated'))).toContain(
      '2 terminals on this stud, the largest current next to the metal: strap, then other.',
    );
    expect(told).toContain(
      `Tighten to 40${SPACE}N·m (from the file; the maker’s figure overrides it). M10, class 8.8 (assumed: read the head): it clamps with 12.7${SPACE}kN to 26.7${SPACE}kN.`,
    );
    expect(told.find((text) => text.includes('kept by wax'))).toContain('coat the closed joint');
    const steps = stepsOf({ clean: 'strap.to' }, { picture, units: 'metric', sheets: new Map([['strap.to', lug]]) });
    expect(steps.filter(({ caution }) => caution).length).toBe(3);
  });

  test('a post without a torque is told what others give, and nothing of washers', () => {
    const told = texts({ clean: 'strap.from' }, [post]).join('\n');
    expect(told).toContain(
      `Tighten to the maker’s torque (the file gives none). Others give 5${SPACE}N·m to 8${SPACE}N·m (battery post clamp).`,
    );
    expect(told).toContain('spread the clamp');
    expect(told).not.toContain('asher');
  });

  test('the usual torque of a bolt is a bound with its caution, never an order', () => {
    const usual = { ...lug, torque_from: 'usual', torque_source: 'SAE J429', torque_confidence: 'secondary' };
    const told = texts({ clean: 'strap.to' }, [usual], 'us').join('\n');
    expect(told).toContain('Tighten to the maker’s torque (the file gives none).');
    expect(told).toContain(
      `bears 29.5${SPACE}lbf·ft in steel or iron at the most; sheet, weld nuts, aluminium, brass and lead much less`,
    );
    expect(sourcesOf([usual])).toContain('SAE J429 (secondary)');
  });

  test('a replaced cable has each of its joints by name, without a sheet the text that holds for every lug', () => {
    expect(jointsOf({ replace: 'strap' }, picture)).toEqual(['strap.from', 'strap.to']);
    const told = texts({ replace: 'strap' }, [lug, post]);
    expect(told.filter((text) => text.startsWith('strap, from end: ')).length).toBe(1);
    expect(told.filter((text) => text.startsWith('strap, to end: ')).length).toBe(2);
    const plain = texts({ replace: 'strap' }, [lug]).join('\n');
    expect(plain).toContain('Lug flat on metal, washer under the nut');
    expect(plain).toContain(`strap, to end: Tighten to 40${SPACE}N·m (from the file`);
  });

  test('a plug is not screwed', () => {
    const plug = { ...post, sheet: { ...post.sheet, place: { kind: 'connector pin', fastened: false } } };
    const told = texts({ clean: 'strap.from' }, [plug]).join('\n');
    expect(told).toContain('replace what no longer grips');
    expect(told).not.toContain('torque');
  });

  test('a source stands on the sheet once, and only where its practice does', () => {
    expect(sourcesOf([lug, lug])).toEqual([
      'of clean the faces (confirmed)',
      'of no washer between faces (confirmed)',
      'of seal after assembly (confirmed)',
      'of grease (confirmed)',
    ]);
    expect(sourcesOf([post])).toEqual(['of battery posts (confirmed)', 'manuals (derived)']);
  });
});

// Army TM 9-6115-639-13 p. 4-96; the exception, positive first, TM 5-3805-261-20 p. 7-273 (crates/catalogue/data/cautions.toml).
test('the side that the metal is joined to comes off first and goes on last, whichever it is', () => {
  const told = (earth: string): string =>
    stepsOf({ clean: 'strap.to' }, { picture: { ...picture, earth }, units: 'metric' })
      .map(({ text }) => text)
      .join(' ');
  expect(told('negative')).toMatch(/Negative off first\. Cover the positive post.*Negative on last/);
  expect(told('positive')).toMatch(/Positive off first.*Cover the negative post.*Positive on last/);
  expect(told('positive')).not.toContain('Negative off first');
});

test('the cable that a repair adds is told from other repairs', () => {
  const add = { from: 'main/-', to: 'block/front', size: '35 mm²', metres: 0.65, ohms: 0.00056, amps: 311 };
  expect(addedBy({ add })).toEqual({ from: 'main/-', to: 'block/front', squareMillimetres: 35, metres: 0.65 });
  expect(addedBy({ add: { ...add, size: '2 AWG' } })).toBeNull();
  expect(addedBy({ clean: 'strap.to' })).toBeNull();
});
