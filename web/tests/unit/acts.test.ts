import { expect, test } from 'vitest';
import { type Act, Acts } from '../../src/lib/acts';

function act(what: string, told: string[], fails = false): Act {
  const say = (word: string) => async (): Promise<void> => {
    if (fails) throw new Error('no connection');
    told.push(`${word} ${what}`);
  };
  return { what, undo: say('undo'), redo: say('redo') };
}

test('acts are taken back in the opposite order and done again in the same', async () => {
  const acts = new Acts();
  const told: string[] = [];
  for (const what of ['a', 'b', 'c']) acts.did(act(what, told));
  for (let i = 0; i < 4; i += 1) await acts.undo();
  for (let i = 0; i < 4; i += 1) await acts.redo();
  expect(told).toEqual(['undo c', 'undo b', 'undo a', 'redo a', 'redo b', 'redo c']);
});

test('a new act ends what could be done again', async () => {
  const acts = new Acts();
  const told: string[] = [];
  acts.did(act('a', told));
  await acts.undo();
  acts.did(act('b', told));
  expect(await acts.redo()).toBeNull();
  expect((await acts.undo())?.what).toBe('b');
});

test('an act that cannot be taken back now stays, to be tried again', async () => {
  const acts = new Acts();
  acts.did(act('a', [], true));
  await expect(acts.undo()).rejects.toThrow('no connection');
  await expect(acts.undo()).rejects.toThrow('no connection');
  expect(await acts.redo()).toBeNull();
});
