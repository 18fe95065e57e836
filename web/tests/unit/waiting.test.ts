import { describe, expect, test } from 'vitest';
import { asWork } from '../../src/app/jobs';
import { headline } from '../../src/app/kept';
import { Client, type Method, Refusal } from '../../src/lib/api/client';

/** A program whose work is done after so many looks. */
function program(looks: number, end: object): { sent: string[]; client: Pick<Client, 'send'> } {
  const sent: string[] = [];
  let left = looks;
  const send = async (method: Method, path: string): Promise<unknown> => {
    sent.push(`${method} ${path}`);
    if (method === 'DELETE') return {};
    if (method === 'GET') left -= 1;
    const job = left > 0 ? { status: 'running', done: 1 - left / looks, answer: null, error: null } : end;
    return { job: { id: 7, ...job } };
  };
  return { sent, client: { send } as Pick<Client, 'send'> };
}

describe('work off the request path', () => {
  test('tells how far it is and gives its answer', async () => {
    const { client } = program(3, { status: 'done', done: 1, answer: { format: 1, repairs: [] }, error: null });
    const told: (number | null)[] = [];
    const answer = await asWork(client, 'repairs', {}, { progress: (done) => told.push(done) });
    expect(answer).toEqual({ format: 1, repairs: [] });
    expect(told.map((done) => done?.toFixed(2))).toEqual(['0.33', '0.67', '1.00']);
  });

  test('is told to stop when nobody waits for it any more, and not before', async () => {
    const { client, sent } = program(1000, {});
    const stop = new AbortController();
    const asked = asWork(client, 'failures', {}, { signal: stop.signal });
    await new Promise((done) => setTimeout(done, 60));
    expect(sent).not.toContain('DELETE /api/jobs/7');
    stop.abort();
    await expect(asked).rejects.toThrow('stopped');
    expect(sent.at(-1)).toBe('DELETE /api/jobs/7');
  });

  test('that was overtaken before it began is told to stop as soon as it has a number', async () => {
    const { client, sent } = program(1000, {});
    const stop = new AbortController();
    stop.abort();
    await expect(asWork(client, 'diagnose', {}, { signal: stop.signal })).rejects.toThrow('stopped');
    expect(sent).toEqual(['POST /api/jobs', 'DELETE /api/jobs/7']);
  });

  test('that fails says why', async () => {
    const error = { code: 'problems', what: 'the file has an error', expected: null, hint: null, problems: [] };
    const { client } = program(1, { status: 'failed', done: null, answer: null, error });
    const failed = asWork(client, 'next', {});
    await expect(failed).rejects.toThrow('the file has an error');
    await expect(failed).rejects.toBeInstanceOf(Refusal);
  });
});

test('a time is told by the program’s clock, however wrong ours is', () => {
  const client = new Client(null);
  const ahead = 3 * 3600 * 1000;
  client.setClock(new Date(Date.now() + ahead).toISOString());
  expect(Math.abs(Date.parse(client.now()) - Date.now() - ahead)).toBeLessThan(2000);
  client.setClock('no time');
  expect(Math.abs(Date.parse(client.now()) - Date.now() - ahead)).toBeLessThan(2000);
});

test('a kept answer is told in a line, and one of an unknown shape says nothing and breaks nothing', () => {
  const text = [{ name: 'main-negative.to' }, { words: ', over 99 %' }];
  const paragraph = { lead: [], text, hang: 0, whole: false, tone: 'plain', behind: [] };
  const told = { blocks: [], beside: [{ key: 'headline', title: [], blocks: [{ paragraph }] }] };
  expect(headline({ suspects: [], told })).toMatch(/^main-negative.*, over 99 %$/);
  for (const old of [null, 3, 'x', {}, { suspects: 3 }, { told: 3 }, { told: { blocks: [], beside: 7 } }])
    expect(headline(old)).toBe('');
});
