import type { How } from './ask';

/** From here on a person is told that something takes its time, and may stop it. */
const SLOW_MS = 300;

/** One answer that a view waits for: asked for, there, refused, or stopped. */
export class Asking<T> {
  value = $state.raw<T | null>(null);
  waiting = $state(false);
  refused = $state<string | null>(null);
  /** The share that is done, where it is known. */
  done = $state<number | null>(null);
  /** It takes long enough to say so. */
  slow = $state(false);
  /** The person stopped it. */
  stopped = $state(false);
  #current: AbortController | null = null;

  /** Asks; a later question overtakes an earlier one and stops it. */
  async put(question: (how: How) => Promise<T>): Promise<void> {
    this.#current?.abort();
    const current = new AbortController();
    this.#current = current;
    this.waiting = true;
    this.refused = null;
    this.done = null;
    this.stopped = false;
    const { signal } = current;
    const late = setTimeout(() => {
      if (this.#current === current) this.slow = true;
    }, SLOW_MS);
    try {
      const value = await question({ signal, progress: (done) => !signal.aborted && this.#told(done) });
      if (!signal.aborted) this.value = value;
    } catch (cause) {
      if (!signal.aborted) {
        this.value = null;
        this.refused = cause instanceof Error ? cause.message : String(cause);
      }
    } finally {
      clearTimeout(late);
      if (this.#current === current) this.#end();
    }
  }

  /** Stops what is waited for; what was there before stays. */
  stop(): void {
    if (!this.#current) return;
    this.#current.abort();
    this.#end();
    this.stopped = true;
  }

  #told(done: number | null): void {
    this.done = done;
  }

  #end(): void {
    this.#current = null;
    this.waiting = false;
    this.slow = false;
  }
}
