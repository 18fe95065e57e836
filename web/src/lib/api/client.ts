/** Talks to the program. One way out: every request carries the key, every failure becomes a `Refusal`. */
import type { Problem } from './types';

export class Refusal extends Error {
  readonly status: number;
  readonly code: string;
  readonly expected: string | null;
  readonly hint: string | null;
  readonly problems: readonly Problem[];
  readonly body: unknown;

  constructor(status: number, error: Partial<RefusalBody>, body: unknown = null) {
    super(error.what ?? `the program answered ${status}`);
    this.status = status;
    this.code = error.code ?? 'unknown';
    this.expected = error.expected ?? null;
    this.hint = error.hint ?? null;
    this.problems = error.problems ?? [];
    this.body = body;
  }

  /** What is wrong, and what would be right. */
  get told(): string {
    return this.expected === null ? this.message : `${this.message}; expected ${this.expected}`;
  }
}

interface RefusalBody {
  readonly code: string;
  readonly what: string;
  readonly expected: string | null;
  readonly hint: string | null;
  readonly problems: readonly Problem[];
}

/** No answer at all: the program is not running or the network is cut. */
export class NoConnection extends Error {
  constructor() {
    super('no connection to the program');
  }
}

export type Method = 'GET' | 'POST' | 'PUT' | 'DELETE';

export class Client {
  #key: string | null;
  /** How far the program's clock is ahead of ours, in ms: a phone's may be wrong, and times are compared. */
  #ahead = 0;
  /** Called when the program does not know the key, or no longer: it was taken away, or its time is over. */
  onrefused: (() => void) | null = null;

  constructor(key: string | null) {
    this.#key = key;
  }

  get hasKey(): boolean {
    return this.#key !== null;
  }

  useKey(key: string): void {
    this.#key = key;
  }

  /** A name for what is told to this key alone, from which the key cannot be learnt; only where there is cryptography. */
  async nameOfKey(): Promise<string> {
    const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(this.#key ?? ''));
    return Array.from(new Uint8Array(digest, 0, 8), (byte) => byte.toString(16).padStart(2, '0')).join('');
  }

  /** Learns the program's clock from a time that it just said. */
  setClock(now: string): void {
    const said = Date.parse(now);
    if (!Number.isNaN(said)) this.#ahead = said - Date.now();
  }

  /** The present time by the program's clock. */
  now(): string {
    return new Date(Date.now() + this.#ahead).toISOString();
  }

  /** Sends JSON and reads JSON. */
  async send<T>(method: Method, path: string, body?: unknown, signal?: AbortSignal): Promise<T> {
    const response = await this.#fetch(path, {
      method,
      signal: signal ?? null,
      headers: this.#headers(body === undefined ? undefined : 'application/json'),
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    return response.status === 204 ? (undefined as T) : ((await response.json()) as T);
  }

  /** Sends bytes, such as a photograph. */
  async sendBytes<T>(path: string, bytes: Blob): Promise<T> {
    const response = await this.#fetch(path, { method: 'PUT', headers: this.#headers(bytes.type), body: bytes });
    return (await response.json()) as T;
  }

  /** Reads bytes: a photograph, a file, the report. */
  async bytes(path: string, method: Method = 'GET', body?: unknown): Promise<Blob> {
    const response = await this.#fetch(path, {
      method,
      headers: this.#headers(body === undefined ? undefined : 'application/json'),
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    return await response.blob();
  }

  /** Opens the stream of events. */
  async stream(path: string, signal: AbortSignal): Promise<ReadableStream<Uint8Array>> {
    const response = await this.#fetch(path, { headers: this.#headers(undefined), signal });
    if (!response.body) throw new NoConnection();
    return response.body;
  }

  #headers(type: string | undefined): Record<string, string> {
    return {
      ...(this.#key === null ? {} : { Authorization: `Bearer ${this.#key}` }),
      ...(type === undefined ? {} : { 'Content-Type': type }),
    };
  }

  async #fetch(path: string, init: RequestInit): Promise<Response> {
    const key = this.#key;
    let response: Response;
    try {
      response = await fetch(path, init);
    } catch (cause) {
      if (cause instanceof DOMException && cause.name === 'AbortError') throw cause;
      throw new NoConnection();
    }
    if (response.ok) return response;
    const body: unknown = await response.json().catch(() => null);
    const error = body && typeof body === 'object' && 'error' in body ? (body.error as Partial<RefusalBody>) : {};
    if (response.status === 401 && key === this.#key) this.onrefused?.();
    throw new Refusal(response.status, error, body);
  }
}

/** Random id of ours, of the shape that the program expects; works without a secure context. */
export function newCid(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
