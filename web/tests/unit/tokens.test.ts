import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { contrast, differenceUnder, type Rgb, type Sight } from './colour';

const css = readFileSync(new URL('../../src/lib/css/tokens.css', import.meta.url), 'utf8');

/** The tokens of one block of the style sheet. */
function tokens(selector: string): Map<string, Rgb> {
  const start = css.indexOf(selector);
  if (start < 0) throw new Error(`tokens.css has no ${selector}`);
  const block = css.slice(css.indexOf('{', start) + 1, css.indexOf('}', start));
  const found = [...block.matchAll(/--([\w-]+):\s*#([0-9a-f]{3,6});/g)];
  return new Map(found.map(([, name = '', hex = '']) => [name, rgb(hex)]));
}

function rgb(hex: string): Rgb {
  const full = hex.length === 3 ? [...hex].map((c) => c + c).join('') : hex;
  return [0, 2, 4].map((at) => Number.parseInt(full.slice(at, at + 2), 16) / 255) as unknown as Rgb;
}

const THEMES = { light: ':root {', dark: ':root[data-theme="dark"] {', sun: ':root[data-theme="sun"] {' } as const;

describe.each(Object.entries(THEMES))('theme %s', (name, selector) => {
  const theme = tokens(selector);
  const of = (token: string): Rgb => theme.get(token) as Rgb;
  const least = name === 'sun' ? 7 : 4.5;

  test.each(['ink', 'soft', 'link', 'bad', 'good'])(`%s is read on paper, sheet and metal at ${least}:1`, (token) => {
    for (const ground of ['paper', 'sheet']) expect(contrast(of(token), of(ground))).toBeGreaterThanOrEqual(least);
    if (token === 'ink' || token === 'soft') expect(contrast(of(token), of('metal'))).toBeGreaterThanOrEqual(4.5);
  });

  test('ink, links and warnings are read on a marked row', () => {
    for (const token of ['ink', 'link', 'bad', 'good'])
      expect(contrast(of(token), of('mark'))).toBeGreaterThanOrEqual(4.5);
  });

  test('lines that carry meaning stand out 3:1', () => {
    for (const token of ['line', 'outline', 'focus', 'red-lead', 'bad', 'soft'])
      expect(contrast(of(token), of('sheet'))).toBeGreaterThanOrEqual(3);
  });

  test('a black lead is black, a red one red, and each stands out from the sheet by itself or by its edge', () => {
    expect(Math.max(...of('black-lead'))).toBeLessThanOrEqual(0.1);
    const [red, green, blue] = of('red-lead');
    expect(red).toBeGreaterThan(2 * Math.max(green, blue));
    for (const lead of ['red-lead', 'black-lead']) {
      const seen = [of(lead), of('lead-edge')].map((ink) => contrast(ink, of('sheet')));
      expect(Math.max(...seen), lead).toBeGreaterThanOrEqual(3);
      expect(contrast(of(lead), of('lead-edge')), `${lead} in its edge`).toBeGreaterThanOrEqual(3);
    }
  });

  test('what is bad is never the colour of what is good, nor is what is doubted, which has less of it', () => {
    const [red, green] = of('bad');
    expect(red).toBeGreaterThan(green);
    for (const token of ['bad', 'soft'])
      expect(differenceUnder('normal', of(token), of('good')), token).toBeGreaterThanOrEqual(9);
  });

  test('neighbouring shades of loss are told apart by every sight', () => {
    for (let i = 0; i < 4; i += 1) {
      for (const sight of ['normal', 'protan', 'deutan', 'tritan'] as const satisfies readonly Sight[]) {
        const far = differenceUnder(sight, of(`loss-${i}`), of(`loss-${i + 1}`));
        expect(far, `loss-${i} and loss-${i + 1}, ${sight}`).toBeGreaterThanOrEqual(9);
      }
    }
  });

  test('more loss is further from the ground', () => {
    const steps = [0, 1, 2, 3, 4].map((i) => contrast(of(`loss-${i}`), of('sheet')));
    expect(steps).toEqual([...steps].sort((a, b) => a - b));
  });
});

test('dark by choice and dark by the machine are the same', () => {
  expect(tokens(':root:not([data-theme="light"]')).toEqual(tokens(THEMES.dark));
});
