/**
 * What is said of a result is said by the program alone. No test can know every sentence, but a result has a number and
 * a unit: where one is written into a figure outside of `quantity`, somebody tells a result on the page.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { expect, test } from 'vitest';

const SRC = new URL('../../src', import.meta.url).pathname;

/** Where a number becomes text: the page does it by itself while a hand moves, held to the program's own by vectors. */
const FORMATS = /^lib\/quantity\//;
/** Made from the program's own types. */
const MADE = /^lib\/api\/openapi\.ts$/;

const RULES: readonly { readonly what: string; readonly sign: RegExp; readonly may: readonly string[] }[] = [
  {
    what: 'a number is written with so many digits',
    sign: /\.to(?:Fixed|Precision|LocaleString)\(|Intl\.NumberFormat/,
    may: [
      // What a request says, which the program reads.
      'app/keep.ts',
      'lib/card/Card.svelte',
      'lib/card/slide.ts',
      'lib/live/trial.svelte.ts',
      // The size of a file that is sent.
      'lib/files.ts',
      // Places on the drawing.
      'lib/plan/hull.ts',
      'lib/plan/Wires.svelte',
      // Which mark stands before decimals here.
      'lib/settings.svelte.ts',
    ],
  },
  {
    what: 'a unit stands behind a value',
    sign: /\}[\s\u00a0](?:[mµk]?[VΩW]|[mµk]A|A(?! [a-z])|mm²|mm|cm|m|km|ft|AWG|°[CF]|%|Ah|N m|min|h|s|hours?|minutes?|seconds?|years?|EUR|€)(?![\w-])/u,
    may: [
      // What a request says, which the program reads.
      'app/keep.ts',
      'lib/live/trial.svelte.ts',
      'lib/readings/write.ts',
      // A mark on the ruler beside the plan.
      'lib/plan/rulers.ts',
    ],
  },
  {
    what: 'a result is judged in words',
    sign: /\(±|\b(?:too (?:thin|small|hot|warm)|burns? (?:it|in)|no single|nothing is wrong|no difference|hidden fuses?\b(?!:)|probability of|would gain|is dead)/i,
    may: [],
  },
  {
    what: 'what becomes of a thing is said',
    sign: /['"`> ](?:burns|melts|is damaged|gets too hot)\b/i,
    // A head over a list.
    may: ['lib/views/FailuresView.svelte'],
  },
  {
    what: 'somebody is cautioned',
    sign: /['"`> ](?:(?:no|out of) (?:spark|flame|gear)|rings off|hands, sleeves)\b/i,
    // What holds before anything is opened or asked.
    may: ['app/Doors.svelte'],
  },
  {
    what: 'a probability is held against a bound',
    sign: /\b(?:probability|chance|bad|nothing_bad)\b\s*(?:[<>]=?)\s*(?:[A-Z][A-Z_]+|0?\.\d)/,
    may: [],
  },
];

interface Found {
  readonly file: string;
  readonly what: string;
  readonly line: string;
}

/** Every line of the page that tells a result, by the rules. */
function telling(file: string, text: string): Found[] {
  if (FORMATS.test(file) || MADE.test(file)) return [];
  const own = RULES.filter(({ may }) => !may.includes(file));
  return shown(text)
    .split('\n')
    .flatMap((line) =>
      own.filter(({ sign }) => line.search(sign) >= 0).map(({ what }) => ({ file, what, line: line.trim() })),
    );
}

/** A source without its comments and its styles. */
function shown(text: string): string {
  return text
    .replace(/<style>[\s\S]*<\/style>/g, '')
    .replace(/<!--[\s\S]*?-->/g, '')
    .replace(/style:[\w-]+=(?:"[^"]*"|\{[^}]*\})/g, '')
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .replace(/^\s*\/\/.*$/gm, '');
}

function sources(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((own) => {
    const path = join(folder, own.name);
    if (own.isDirectory()) return sources(path);
    return /\.(?:svelte|ts)$/.test(own.name) ? [path] : [];
  });
}

test('no sentence, unit or number of a result is written in the page', () => {
  const all = sources(SRC).sort();
  expect(all.length).toBeGreaterThan(100);
  expect(all.flatMap((path) => telling(relative(SRC, path), readFileSync(path, 'utf8')))).toEqual([]);
});

test('a sentence about a result would be found', () => {
  for (const line of [
    "return by + (less > 0 ? ' less' : ' more') + ' (± ' + sure + ')';",
    '<p><strong>Too thin:</strong> {row}.</p>',
    '<span>{value} mV</span>',
    'const text = volts.toFixed(2);',
    '<td>{chance * 100} %</td>',
    'return count === 1 ? "one hidden fuse" : "";',
    "add(own.name, within ? 'burns' : 'stays');",
    'const likely = suspects.filter(({ probability }) => probability >= LIKELY);',
    "return 'Rings off, and lamps out.';",
    'const sound = diagnosis.nothing_bad > 0.5;',
  ])
    expect(telling('lib/views/Some.svelte', line), line).toHaveLength(1);
  for (const line of ['<!-- 3 mV less -->', '<i style:width="{percent}%"></i>', '<button>Keep this answer</button>'])
    expect(telling('lib/views/Some.svelte', line), line).toEqual([]);
});
