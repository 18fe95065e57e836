/** Questions that take long are asked as work: off the request path, with progress, and to be stopped. */
import { type Client, Refusal } from '../lib/api/client';
import type { JobBody, JobState } from '../lib/api/openapi';
import type { Answers, Asked, How, Question } from '../lib/ask';

/** Looked at soon at first, since most answers are there at once, then ever less often. */
const FIRST_MS = 25;
const LAST_MS = 400;

const LONG: ReadonlySet<Question> = new Set<Question>(['diagnose', 'next', 'repairs', 'failures']);

export function takesLong(question: Question): boolean {
  return LONG.has(question);
}

/** Puts the question as work and waits for its end; stops it when the signal says so. */
export async function asWork<Q extends Question>(
  client: Pick<Client, 'send'>,
  question: Q,
  asked: Asked,
  { signal, progress }: How = {},
): Promise<Answers[Q]> {
  // Begun without the signal: work that has begun must be told to stop, or it goes on unseen.
  let { job } = await client.send<JobBody>('POST', '/api/jobs', { question, asked });
  const path = `/api/jobs/${job.id}`;
  let wait = FIRST_MS;
  while (job.status === 'waiting' || job.status === 'running') {
    await pause(wait, signal);
    if (signal?.aborted) {
      await client.send('DELETE', path).catch(() => undefined);
      throw new DOMException('stopped', 'AbortError');
    }
    wait = Math.min(wait * 2, LAST_MS);
    ({ job } = await client.send<JobBody>('GET', path));
    progress?.(job.done ?? null);
  }
  return answerOf(job) as Answers[Q];
}

function answerOf({ status, answer, error }: JobState): unknown {
  if (status === 'done') return answer;
  throw new Refusal(status === 'cancelled' ? 499 : 422, error ?? { code: status, what: 'it was stopped elsewhere' });
}

/** Waits so long, or until the signal. */
function pause(ms: number, signal: AbortSignal | undefined): Promise<void> {
  return new Promise((done) => {
    const end = (): void => {
      clearTimeout(timer);
      signal?.removeEventListener('abort', end);
      done();
    };
    const timer = setTimeout(end, ms);
    signal?.addEventListener('abort', end);
    if (signal?.aborted) end();
  });
}
