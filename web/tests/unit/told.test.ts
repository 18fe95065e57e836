/** What is told looks as it should, whatever is told: `vectors/told.json` is what the program says of an example. */
import { render } from 'svelte/server';
import { describe, expect, test, vi } from 'vitest';
import {
  belowRows,
  isWarning,
  lineText,
  partOf,
  partsNamed,
  quantityText,
  rowsOf,
  rowText,
  saidText,
  type Told,
  titleOf,
  withoutHead,
  wordsText,
} from '../../src/lib/told/told';
import examples from '../vectors/told.json';

vi.stubGlobal('document', { documentElement: { dataset: {} } });
const { default: Component } = await import('../../src/lib/told/Told.svelte');
const { settings } = await import('../../src/lib/settings.svelte');

const NB = '\u00a0';
const all = examples as unknown as readonly { readonly question: string; readonly told: Told }[];

function told(question: string): Told {
  const own = all.find((one) => one.question === question);
  if (!own) throw new Error(`nothing is told of ${question}`);
  return own.told;
}

function page(own: Told, props: object = {}): string {
  const { body } = render(Component, { props: { told: own, ...props } });
  return body
    .replace(/<!--.*?-->/g, '')
    .replace(/ ?svelte-\w+ ?/g, '')
    .replaceAll(' class=""', '');
}

/** What is read, with one blank between two things. */
function read(html: string): string {
  return html
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&lt;', '<')
    .replace(/[\s\u00a0]+/g, ' ');
}

const sentence = (...text: Told['blocks'][number][]): Told => ({ blocks: text });
const paragraph = { lead: [], text: [], hang: 0, whole: false, tone: 'plain' } as const;

describe('what the program says', () => {
  test.each(all)('of $question stands on the page, word by word', ({ told: own }) => {
    const text = read(page(own));
    const nameOf = (name: string): string => read(page(sentence({ paragraph: { ...paragraph, text: [{ name }] } })));
    for (const block of own.blocks) {
      if (block === 'gap' || !('paragraph' in block)) continue;
      const words = lineText(block.paragraph.text, {}, nameOf).replace(/[\s\u00a0]+/g, '');
      expect(text.replace(/\s+/g, '')).toContain(words);
    }
  });

  test('of tables has heads, and numbers on the right', () => {
    const html = page(told('solve'));
    expect(html).toContain('<th class="number">volts</th>');
    expect(html).toContain(`<td class="number"><span class="quantity">10.41${NB}V</span></td>`);
  });

  test('of what a piece costs has bars as long as their share', () => {
    const html = page(told('budget'));
    expect(html).toContain('<i style="width: 100%;">');
    expect(read(html)).toMatch(/185 mV starter-positive \(70 mm²\) 479 A 385 µΩ/);
  });

  test('that wants attention is marked by a sign, not by colour alone', () => {
    const cell = ['attention' as const, { words: 'below its minimum' }];
    const html = page(sentence({ table: { columns: [{ left: '' }], rows: [[cell]] } }));
    expect(html).toContain('<td class="bad"><strong class="sign">! </strong>below its minimum</td>');
  });

  test('is in the units that the person reads', () => {
    const own = sentence({ paragraph: { ...paragraph, text: [{ quantity: { metric: '25 °C', us: '77 °F' } }] } });
    expect(read(page(own)).trim()).toBe('25 °C');
    settings.units = 'us';
    expect(read(page(own)).trim()).toBe('77 °F');
    settings.units = 'metric';
    expect(quantityText({ metric: '10.41 V' }, { locale: { decimal: ',' } })).toBe(`10,41${NB}V`);
  });

  test('names what can be pressed where something follows from it', () => {
    const own = sentence({
      paragraph: { ...paragraph, text: [{ name: 'strap' }, { words: ' in ' }, { name: 'van' }] },
    });
    expect(page(own)).not.toContain('<button');
    const html = page(own, { onname: () => {}, leads: (name: string) => name === 'strap' });
    expect(html).toMatch(/<button [^>]*>strap<\/button> in <span [^>]*>van<\/span>/);
  });

  test('says nothing of the command line’s options', () => {
    expect(all.map(({ told: own }) => read(page(own))).join(' ')).not.toContain('--');
    expect(read(page(told('solve')))).toContain('93 more carry current');
    expect(read(page(told('offsets')))).toContain('modules and sensors first');
  });

  test('nor of its commands', () => {
    expect(wordsText('Measure first: `groundloom next` says what.')).toBe('Measure first.');
    expect(wordsText('hardly reach (`groundloom next` says which to take).')).toBe('hardly reach.');
    expect(wordsText('mends that; `groundloom diagnose` says why.')).toBe('mends that.');
  });

  test('of a part stands where all is said, and alone under its title', () => {
    const worth = {
      part: {
        key: 'repairs.0.worth',
        title: [],
        blocks: [{ paragraph: { ...paragraph, text: [{ words: 'gains' }] } }],
      },
    };
    const title = [{ words: 'clean ' }, { name: 'strap' }];
    const head = { paragraph: { ...paragraph, text: [{ words: '1. ' }, ...title] } };
    const own = sentence({ part: { key: 'repairs.0', title, blocks: [head, worth] } });
    expect(read(page(own))).toMatch(/1\. clean strap\s+gains/);
    expect(partsNamed(own, 'repairs').map(({ key }) => key)).toEqual(['repairs.0']);
    expect(titleOf(partOf(own, 'repairs.0'))).toBe('Clean strap');
    const alone = partOf(own, 'repairs.0.worth');
    expect(alone && read(page(alone)).trim()).toBe('gains');
    expect(partOf(own, 'nothing')).toBeNull();
    expect(titleOf({ key: 'failures.0', title: [{ name: 'strap' }, { words: ' opens' }], blocks: [] })).toBe(
      'strap opens',
    );
  });

  test('of a table is told row by row where it has no room, each cell under its head', () => {
    const columns = [{ left: 'hidden fuse' }, { right: 'carries' }, { left: 'when' }, { left: 'saved by' }];
    const row = [[{ name: 'strap' }], [{ quantity: { metric: '240 A' } }], [{ words: 'it opens' }], []];
    expect(rowText({ columns, rows: [row] }, 0, {}, (own) => own)).toBe(`carries 240${NB}A; when it opens`);
  });

  test('of a part is one text for the ear', () => {
    const line = (words: string) => ({ paragraph: { ...paragraph, text: [{ words }] } });
    const own = { key: 'failures.0.does', title: [], blocks: [line('while cranking, it is dead'), line('it burns')] };
    expect(saidText(own, {}, (name) => name)).toBe('while cranking, it is dead; it burns');
  });

  test('stands behind what it weighs', () => {
    const behind = [{ toned: { tone: 'aside' as const, line: [{ words: 'likely' }] } }];
    expect(read(page(sentence({ paragraph: { ...paragraph, text: [{ words: 'opens' }], behind } })))).toContain(
      'opens likely',
    );
  });

  test('beside a thing has rows with heads, and what stands below them', () => {
    const row = (head: string, words: string) => ({
      paragraph: { ...paragraph, lead: [{ words: head }], text: [{ words }] },
    });
    const below = { paragraph: { ...paragraph, text: [{ words: 'Too hot to hold.' }] } };
    const part = { key: 'conductors.strap', title: [], blocks: [row('limit', '105 degrees'), below] };
    const own: Told = { blocks: [], beside: [part] };
    const rows = rowsOf(partOf(own, 'conductors.strap'));
    expect(rows.map(({ head }) => head)).toEqual(['limit']);
    expect(read(page(rows[0]?.told ?? own))).toContain('105 degrees');
    expect(read(page(belowRows(part) ?? own))).toContain('Too hot to hold.');
    expect(belowRows({ ...part, blocks: [row('limit', '105 degrees')] })).toBeNull();
    expect(rowsOf(null)).toEqual([]);
    const step = (key: string, tone: 'plain' | 'warning') => ({
      key,
      title: [],
      blocks: [{ paragraph: { ...paragraph, tone } }],
    });
    const steps: Told = { blocks: [], beside: [step('repairs.0.job.0', 'warning'), step('repairs.0.job.1', 'plain')] };
    expect(partsNamed(steps, 'repairs.0.job').map(isWarning)).toEqual([true, false]);
  });

  test('needs no head where the place names vehicle and state', () => {
    const body = withoutHead(told('offsets'));
    expect(read(page(body))).not.toContain('grounds lifted');
    expect(body.blocks.length).toBe(told('offsets').blocks.length - 2);
    expect(withoutHead(body)).toEqual(body);
  });
});
