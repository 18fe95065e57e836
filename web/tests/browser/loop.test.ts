/** The loop strip, the words below it and the command line tell the same volts. */
import { execFile } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import type { Budgets, Picture, Solved, WhatIf } from '../../src/lib/api/openapi';
import { type Circuit, type Loop, unroll } from '../../src/lib/loop/unroll';
import { branchesOf } from '../../src/lib/plan/branches';
import { openExample, PROGRAM, person, SOON, toSheet } from './program';
import { stage } from './stage';

const at = stage();
const ROOT = fileURLToPath(new URL('../../../', import.meta.url));
const AMBULANCE = join(ROOT, 'examples/rescue-ambulance.toml');
const FILES = [
  ...readdirSync(join(ROOT, 'examples')).map((name) => join(ROOT, 'examples', name)),
  ...readdirSync(join(ROOT, 'layouts')).map((name) => join(ROOT, 'layouts', name)),
].filter((path) => path.endsWith('.toml') && !path.endsWith('.readings.toml'));
/** A millivolt, and half of the last digit that is shown. */
const MILLIVOLT = 1e-3;
const HUNDREDTH = 5e-3 + 1e-9;

async function cli<T>(...args: string[]): Promise<T> {
  // What it finds wrong with a vehicle is told by its code too: the answer is there all the same.
  const answer = await promisify(execFile)(PROGRAM, [...args, '--json'], { maxBuffer: 1 << 28 }).catch(
    (error: { stdout?: string }) => ({ stdout: error.stdout ?? '' }),
  );
  return JSON.parse(answer.stdout) as T;
}

async function ask<T>(question: string, asked: Record<string, unknown>): Promise<T | null> {
  const answer = await fetch(`${at.program.origin}/api/${question}`, {
    method: 'POST',
    headers: {
      Authorization: `Bearer ${at.program.key}`,
      'Content-Type': 'application/json',
      Origin: at.program.origin,
    },
    body: JSON.stringify(asked),
  });
  return answer.ok ? ((await answer.json()) as T) : null;
}

function circuitOf(drawing: NonNullable<Picture['drawing']>, solved: Solved['states'][number]): Circuit {
  const turned = drawing.earth === 'positive';
  const devices = [...drawing.loads, ...drawing.batteries, ...drawing.sources];
  return {
    branches: new Map(branchesOf(drawing).map((branch) => [branch.id, branch])),
    earth: drawing.earth,
    volts: (point) => solved.points[point]?.volts ?? null,
    terminals: (device) => {
      const own = devices.find(({ id }) => id === device);
      if (!own) return null;
      return turned ? { feed: own.negative, home: own.positive } : { feed: own.positive, home: own.negative };
    },
    live: null,
  };
}

const sum = (segments: readonly { readonly volts: number }[]): number =>
  segments.reduce((all, { volts }) => all + volts, 0);

/** Everything that the strip says is in the answer of the command line, and adds up. */
function holds(loop: Loop, told: Budgets['states'][number], gets: number): void {
  const { budget } = told;
  const what = `${loop.load}, ${told.state}`;
  expect(Math.abs(loop.loadVolts - gets), what).toBeLessThan(MILLIVOLT);
  expect(Math.abs(loop.loadVolts - budget.load_volts), what).toBeLessThan(MILLIVOLT);
  expect(Math.abs(loop.returnVolts - budget.return_volts), what).toBeLessThan(MILLIVOLT);
  expect(Math.abs(loop.feedVolts - budget.feed_volts), what).toBeLessThan(MILLIVOLT);
  expect(Math.abs(sum(loop.feed) - budget.feed_volts), what).toBeLessThan(MILLIVOLT);
  for (const { segments, volts, end, endVolts } of loop.strands) {
    expect(Math.abs(sum(segments) - volts), what).toBeLessThan(1e-9);
    if (end === loop.source) expect(Math.abs(volts - budget.return_volts), `${what} to ${end}`).toBeLessThan(MILLIVOLT);
    if (endVolts !== null && loop.places.loadHome !== null) {
      const meter = Math.abs(loop.places.loadHome - endVolts);
      expect(Math.abs(Math.abs(volts) - meter), `${what} to ${end}`).toBeLessThan(MILLIVOLT);
    }
  }
  const names = loop.strands.map(({ by, end }) => [...by, end].join(' → '));
  expect(new Set(names).size, what).toBe(names.length);
}

describe('the strip as it is made for the page', () => {
  test.each(FILES.map((path) => [path.slice(ROOT.length), path] as const))(
    'in %s it tells what the command line tells, for every load and state, also with a change tried',
    async (_, path) => {
      const text = readFileSync(path, 'utf8');
      const drawing = (await ask<Picture>('picture', { text }))?.drawing;
      if (!drawing) throw new Error('it cannot be drawn');
      const joint = drawing.joints.find(({ conductor, id }) => conductor?.includes('negative') && id.endsWith('.to'));
      const set = [`${joint?.id ?? drawing.joints[0]?.id}=7 mΩ`];
      let loops = 0;
      for (const changed of [{}, { set }]) {
        const plain = await ask<Solved>('solve', { text, ...changed });
        const tried = 'set' in changed;
        const what = tried ? await cli<WhatIf>('what-if', path, '--set', set[0] ?? '') : null;
        for (const load of drawing.loads) {
          const page = await ask<Budgets>('budget', { text, load: load.id, ...changed });
          if (!page || !plain) continue;
          const told = tried ? page : await cli<Budgets>('budget', path, '--load', load.id);
          for (const state of page.states) {
            const solved = plain.states.find((own) => own.state === state.state);
            const answer = told.states.find((own) => own.state === state.state);
            if (!solved || !answer) throw new Error(`${load.id}, ${state.state} is not there`);
            const gets = what
              ? what.states.find((own) => own.state === state.state)?.loads[load.id]?.after_volts
              : solved.loads[load.id]?.volts;
            holds(unroll(load.id, state, circuitOf(drawing, solved)), answer, gets ?? Number.NaN);
            loops += 1;
          }
        }
      }
      expect(loops).toBeGreaterThan(drawing.loads.length / 2);
    },
    300_000,
  );
});

interface Shown {
  readonly load: number;
  readonly feed: number;
  readonly back: number;
  readonly box: string;
  readonly heads: string[];
  readonly axis: string[];
  readonly ways: { by: string; end: string; amps: number; volts: number; sum: number; name: string }[];
}

/** What the strip on the page says, in its drawing and in its words. */
const strip = (page: Page): Promise<Shown> =>
  page.locator('.strip svg').evaluate((svg) => {
    const number = (element: Element, key: string): number => Number((element as SVGElement).dataset[key]);
    const text = (element: Element | null): string => (element?.textContent ?? '').replaceAll(/\s+/g, ' ').trim();
    const ways = [...svg.querySelectorAll('.way')];
    const names = [...svg.querySelectorAll('tspan.by')].map(text);
    return {
      load: number(svg, 'loadVolts'),
      feed: number(svg, 'feedVolts'),
      back: number(svg, 'returnVolts'),
      box: text(svg.querySelector('.big')),
      heads: [...svg.querySelectorAll('.head')].map(text),
      axis: [...svg.querySelectorAll('text.figure')].map(text),
      ways: ways.map((way, i) => ({
        by: (way as SVGElement).dataset['by'] ?? '',
        end: (way as SVGElement).dataset['end'] ?? '',
        amps: number(way, 'amps'),
        volts: number(way, 'volts'),
        sum: [...way.querySelectorAll('.block')].reduce((all, block) => all + number(block, 'volts'), 0),
        name: names[i] ?? '',
      })),
    };
  });

/** A text with a number of volts or millivolts in volts. */
function volts(text: string): number {
  const found = /([\u2212-]?[\d.]+)\s*(mV|V)/.exec(text);
  return Number(found?.[1]?.replace('\u2212', '-')) * (found?.[2] === 'mV' ? 1e-3 : 1);
}

function agrees(shown: Shown, told: Budgets['states'][number], gets: number): void {
  const what = `${told.budget.source} ${told.state}`;
  expect(Math.abs(volts(shown.box) - gets), what).toBeLessThan(HUNDREDTH);
  expect(Math.abs(shown.load - gets), what).toBeLessThan(MILLIVOLT);
  expect(Math.abs(shown.back - told.budget.return_volts), what).toBeLessThan(MILLIVOLT);
  expect(Math.abs(shown.feed - told.budget.feed_volts), what).toBeLessThan(MILLIVOLT);
  for (const { sum: pieces, volts: way, end } of shown.ways) {
    expect(Math.abs(pieces - way), what).toBeLessThan(MILLIVOLT);
    if (end === told.budget.source) expect(Math.abs(way - told.budget.return_volts), what).toBeLessThan(MILLIVOLT);
  }
  expect(new Set(shown.ways.map(({ name }) => name)).size, shown.ways.map(({ name }) => name).join(' | ')).toBe(
    shown.ways.length,
  );
}

describe('the strip on the page', () => {
  test('its axis ends where the ends of the ways stand: an alternator is not at zero', async () => {
    const { context, page } = await person(at.browser);
    await openExample(page, at.program.link);
    await toSheet(page, 'volts');
    await page.locator('input[value="running"]').check({ force: true });
    await page.getByLabel('load', { exact: true }).selectOption('engine-module');
    await page.locator('[aria-label="Loop of engine-module, to scale"] .way[data-end="alternator"]').first().waitFor();
    const { states } = await cli<Solved>('solve', AMBULANCE, '--state', 'running');
    const stands = states[0]?.points['alternator/-']?.volts ?? Number.NaN;
    expect(stands).toBeLessThan(-0.01);
    await expect.poll(async () => (await strip(page)).axis.join('; '), SOON).toContain('at alternator');
    const { axis } = await strip(page);
    const mark = axis.find((text) => text.includes('alternator')) ?? '';
    expect(Math.abs(volts(mark) - stands)).toBeLessThan(MILLIVOLT);
    await context.close();
  });

  test.each(['cranking', 'running', 'night-call'])(
    'while %s it tells the volts of the words below it and of the command line, for every load',
    async (state) => {
      const { context, page, complaints } = await person(at.browser);
      await openExample(page, at.program.link);
      await toSheet(page, 'volts');
      await page.locator(`input[value="${state}"]`).check({ force: true });
      const select = page.getByLabel('load', { exact: true });
      const loads = await select
        .locator('option')
        .evaluateAll((all) => all.map((one) => (one as HTMLOptionElement).value));
      const solved = await cli<Solved>('solve', AMBULANCE, '--state', state);
      let compared = 0;
      for (const load of loads) {
        if (solved.states[0]?.loads[load]?.status === 'off') continue;
        const { states } = await cli<Budgets>('budget', AMBULANCE, '--load', load, '--state', state);
        const told = states[0];
        if (!told) throw new Error(load);
        await select.selectOption(load);
        await page.locator(`section[aria-label="Loop of ${load}, to scale"] svg`).waitFor();
        await expect.poll(async () => (await strip(page)).load, SOON).toBeCloseTo(told.budget.load_volts, 3);
        const shown = await strip(page);
        agrees(shown, told, solved.states[0]?.loads[load]?.volts ?? Number.NaN);
        const words = page.locator('[data-told="budget"]');
        await words.getByRole('heading', { name: `Circuit of ${load}`, exact: true }).waitFor();
        for (const side of ['feed', 'return']) {
          const head = await words.locator('strong', { hasText: new RegExp(`^${side}`) }).innerText();
          const drawn = shown.heads.find((own) => own.startsWith(side)) ?? '';
          expect(head.replaceAll(/\s+/g, ' '), load).toBe(drawn);
        }
        compared += 1;
      }
      expect(compared).toBeGreaterThan(4);
      expect(complaints).toEqual([]);
      await context.close();
    },
    300_000,
  );

  test('while a resistance is tried it shows that network: first as it is dragged, then in full', async () => {
    const { context, page, complaints } = await person(at.browser);
    await openExample(page, at.program.link);
    await page.locator('tr[data-load="engine-module"] button').first().click();
    await page.locator('details summary', { hasText: 'The plan as a table' }).click();
    await page.locator('details table').getByRole('button', { name: 'main-negative', exact: true }).click();
    await page.locator('.joints').getByRole('button', { name: /block/ }).click();
    const before = await strip(page);
    const slider = page.getByRole('slider', { name: 'try another resistance' });
    const box = await slider.boundingBox();
    if (!box) throw new Error('the slider has no place');
    const column = page.waitForResponse(/\/api\/column$/);
    await page.mouse.move(box.x + box.width * 0.3, box.y + box.height / 2);
    await page.mouse.down();
    await column;
    await page.mouse.move(box.x + box.width * 0.56, box.y + box.height / 2);
    await expect.poll(async () => (await strip(page)).load, SOON).not.toBeCloseTo(before.load, 2);
    const dragged = await strip(page);
    const row = page.locator('tr[data-load="engine-module"] td').nth(1);
    expect(Math.abs(volts(await row.innerText()) - dragged.load)).toBeLessThan(HUNDREDTH);
    for (const way of dragged.ways) expect(Math.abs(way.sum - way.volts)).toBeLessThan(MILLIVOLT);
    for (const way of dragged.ways.filter(({ end }) => end === 'main'))
      expect(Math.abs(way.volts - dragged.back), way.by).toBeLessThan(MILLIVOLT);
    await page.mouse.up();
    await page.getByText('Solved in full').waitFor();
    const tried = /at\s+([\d.]+\s*[mµ]?Ω)/.exec(await page.locator('.trial').innerText())?.[1] ?? '';
    const change = ['--set', `main-negative.to=${tried}`, '--state', 'cranking'];
    const { states } = await cli<WhatIf>('what-if', AMBULANCE, ...change);
    const gets = states[0]?.loads['engine-module']?.after_volts ?? Number.NaN;
    const full = await strip(page);
    expect(Math.abs(full.load - gets)).toBeLessThan(MILLIVOLT);
    expect(Math.abs(volts(full.box) - gets)).toBeLessThan(HUNDREDTH);
    for (const way of full.ways.filter(({ end }) => end === 'main'))
      expect(Math.abs(way.sum - full.back), way.by).toBeLessThan(MILLIVOLT);
    // The table on the next sheet tells the same, and says that it is a trial.
    await toSheet(page, 'volts');
    await page.getByText('Solved in full').waitFor();
    const back = page.locator('[data-told="budget"] strong', { hasText: /^return/ });
    await expect.poll(async () => Math.abs(volts(await back.innerText()) - full.back), SOON).toBeLessThan(MILLIVOLT);
    expect(complaints).toEqual([]);
    await context.close();
  });

  test('a drawn cable is one of the ways home of the trial, and the old ways carry what is left', async () => {
    const { context, page } = await person(at.browser);
    await openExample(page, at.program.link);
    const before = await strip(page);
    const through = (shown: Shown, piece: string): number =>
      shown.ways.filter(({ by }) => by.includes(piece)).reduce((all, { amps }) => all + amps, 0);
    expect(through(before, 'main-negative')).toBeGreaterThan(300);
    await page.getByRole('button', { name: 'Draw a cable' }).click();
    await page.getByLabel('from', { exact: true }).selectOption('block/front');
    await page.getByLabel('to', { exact: true }).selectOption('main/-');
    await page.getByText('Solved in full').waitFor();
    await expect.poll(async () => through(await strip(page), 'new cable'), SOON).toBeGreaterThan(50);
    const after = await strip(page);
    expect(through(after, 'main-negative')).toBeLessThan(through(before, 'main-negative') - 50);
    for (const way of after.ways) expect(Math.abs(way.sum - way.volts)).toBeLessThan(MILLIVOLT);
    expect(await page.locator('.strip svg').getAttribute('aria-label')).not.toContain('new-1');
    await context.close();
  });
});
