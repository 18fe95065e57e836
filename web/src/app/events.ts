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

type Heard = (kind: string, data: Record<string, unknown>) => void;

/** What the tab that holds the stream tells the others of the same key, and what a new one asks it. */
type Told = { readonly kind: string; readonly data: Record<string, unknown> } | 'how is it?';

/**
 * Calls `heard` for each event until the signal stops it, or the key is refused; also with `there` when the stream is
 * open, `away` when it cannot be opened, and `missed` when it is open again after it broke.
 *
 * A browser lets a page have six connections to one program, all tabs together. So one tab holds the stream and tells
 * the others; when it is closed another takes its place. Where the browser has no locks (a phone in the network, whose
 * connection is not encrypted), a tab holds a stream of its own while it is in view.
 */
export async function follow(client: Client, signal: AbortSignal, heard: Heard): Promise<void> {
  if (navigator.locks === undefined) return followInView(client, signal, heard);
  const name = `groundloom events ${await client.nameOfKey()}`;
  if (signal.aborted) return;
  const channel = new BroadcastChannel(name);
  signal.addEventListener('abort', () => channel.close());
  let now: Told = { kind: 'there', data: {} };
  let leads = false;
  channel.onmessage = ({ data }: MessageEvent<Told>) => {
    if (data !== 'how is it?') heard(data.kind, data.data);
    else if (leads) channel.postMessage(now);
  };
  const lead = async (first: string): Promise<void> => {
    leads = true;
    await hold(client, signal, first, (kind, data) => {
      if (signal.aborted) return;
      const told = { kind, data };
      if (kind === 'there' || kind === 'away') now = told;
      if (kind === 'missed') now = { kind: 'there', data: {} };
      channel.postMessage(told);
      heard(kind, data);
    });
    leads = false;
  };
  // Nobody holds it: this tab does.
  const led = await navigator.locks.request(name, { ifAvailable: true }, async (lock) => {
    if (lock !== null) await lead('there');
    return lock !== null;
  });
  if (led || signal.aborted) return;
  channel.postMessage('how is it?' satisfies Told);
  // What happened between the end of the other tab and the stream of this one is not known.
  await navigator.locks.request(name, { signal }, () => lead('missed')).catch(() => undefined);
}

/** Follows while the tab is in view, and loads the lists again when it comes back. */
async function followInView(client: Client, signal: AbortSignal, heard: Heard): Promise<void> {
  let first = 'there';
  while (!signal.aborted) {
    await inView(true, signal);
    const view = new AbortController();
    const leave = (): void => view.abort();
    signal.addEventListener('abort', leave);
    void inView(false, view.signal).then(leave);
    await hold(client, view.signal, first, heard);
    signal.removeEventListener('abort', leave);
    // Still in view: the key is refused.
    if (!view.signal.aborted) return leave();
    first = 'missed';
  }
}

/** Waits until the tab is in view, or out of it, or until the signal. */
function inView(wanted: boolean, signal: AbortSignal): Promise<void> {
  return new Promise((done) => {
    const look = (): void => {
      if ((document.visibilityState === 'visible') !== wanted && !signal.aborted) return;
      document.removeEventListener('visibilitychange', look);
      signal.removeEventListener('abort', look);
      done();
    };
    document.addEventListener('visibilitychange', look);
    signal.addEventListener('abort', look);
    look();
  });
}

/** Holds the stream, and opens it again when it breaks. */
async function hold(client: Client, signal: AbortSignal, opened: string, heard: Heard): Promise<void> {
  let next = opened;
  while (!signal.aborted) {
    try {
      const reader = (await client.stream('/api/events', signal)).getReader();
      // Events are not kept while we were away: load the lists again.
      heard(next, {});
      next = 'missed';
      // A broken stream is opened again below.
      await readAll(reader, heard).catch(() => undefined);
    } catch (cause) {
      if (cause instanceof Refusal && cause.status === 401) return;
      if (!signal.aborted) heard('away', {});
    }
    await pause(3000, signal);
  }
}

/** Waits so long, or until the signal. */
function pause(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((done) => {
    const end = (): void => {
      clearTimeout(timer);
      signal.removeEventListener('abort', end);
      done();
    };
    const timer = setTimeout(end, ms);
    signal.addEventListener('abort', end);
    if (signal.aborted) end();
  });
}

async function readAll(reader: ReadableStreamDefaultReader<Uint8Array>, heard: Heard): Promise<void> {
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
