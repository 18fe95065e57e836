/** Follows the program's stream of events; comes back by itself when the stream breaks. */
import { type Client, Refusal } from '../lib/api/client';

/** One event of the stream, as its lines say it. */
export function readEvent(block: string): { kind: string; data: Record<string, unknown> } | null {
  const field = (name: string): string | undefined =>
    block
      .split('\n')
      .find((line) => line.startsWith(`${name}:`))
      ?.slice(name.length + 1)
      .trim();
  const kind = field('event');
  const data = field('data');
  if (kind === undefined || data === undefined) return null;
  try {
    return { kind, data: JSON.parse(data) as Record<string, unknown> };
  } catch {
    return null;
  }
}

/**
 * Calls `heard` for each event until the signal stops it, or the key is refused; also with `there` when the stream is
 * open, `away` when it cannot be opened, and `missed` when it is open again after it broke.
 */
export async function follow(
  client: Client,
  signal: AbortSignal,
  heard: (kind: string, data: Record<string, unknown>) => void,
): Promise<void> {
  let first = true;
  while (!signal.aborted) {
    try {
      const reader = (await client.stream('/api/events', signal)).getReader();
      // Events are not kept while we were away: load the lists again.
      heard(first ? 'there' : 'missed', {});
      first = false;
      // A broken stream is opened again below.
      await readAll(reader, heard).catch(() => undefined);
    } catch (cause) {
      if (cause instanceof Refusal && cause.status === 401) return;
      if (!signal.aborted) heard('away', {});
    }
    await new Promise((done) => setTimeout(done, 3000));
  }
}

async function readAll(
  reader: ReadableStreamDefaultReader<Uint8Array>,
  heard: (kind: string, data: Record<string, unknown>) => void,
): Promise<void> {
  const decoder = new TextDecoder();
  let rest = '';
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const blocks = (rest + decoder.decode(value, { stream: true }).replaceAll('\r', '')).split('\n\n');
    rest = blocks.pop() ?? '';
    for (const block of blocks) {
      const event = readEvent(block);
      if (event) heard(event.kind, event.data);
    }
  }
}
