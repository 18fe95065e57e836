/** The running program as this page sees it: who we are, which vehicles there are, which one is open. */
import { Client, NoConnection, Refusal } from '../lib/api/client';
import type { Me, Undo, Vehicle, VehicleRow } from '../lib/api/garage';
import type { Answers, Ask, Asked, Question } from '../lib/ask';
import { Bench } from '../lib/bench.svelte';
import { Book } from '../lib/readings/book.svelte';
import { follow } from './events';
import { placeHash } from './route';

const KEY = 'groundloom.key';

/** The key from the address (then cleared, but for the vehicle that it opens) or from this tab's memory. */
export function takeKey(): string | null {
  const found = /[#&]key=([^&]+)/.exec(location.hash)?.[1];
  if (found) {
    sessionStorage.setItem(KEY, found);
    const vehicle = /[#&]vehicle=(\d+)/.exec(location.hash)?.[1];
    const rest = vehicle === undefined ? '' : placeHash({ vehicle: Number(vehicle), sheet: 'plan' });
    history.replaceState(null, '', location.pathname + rest);
  }
  return found ?? sessionStorage.getItem(KEY);
}

export class ServerAsk implements Ask {
  readonly #client: Client;
  readonly #vehicle: number;

  constructor(client: Client, vehicle: number) {
    this.#client = client;
    this.#vehicle = vehicle;
  }

  ask<Q extends Question>(question: Q, asked: Asked, signal?: AbortSignal): Promise<Answers[Q]> {
    return this.#client.send<Answers[Q]>('POST', `/api/${question}`, { vehicle: this.#vehicle, ...asked }, signal);
  }
}

export class Desk {
  readonly client: Client;
  me = $state.raw<Me | null>(null);
  vehicles = $state.raw<readonly VehicleRow[] | null>(null);
  vehicle = $state.raw<Vehicle | null>(null);
  bench = $state.raw<Bench | null>(null);
  book = $state.raw<Book | null>(null);
  trouble = $state<string | null>(null);
  noKey = $state(false);
  /** Acts that can be taken back, the last one last. */
  undos = $state.raw<readonly Undo[]>([]);
  #events: AbortController | null = null;

  constructor(key: string | null) {
    this.client = new Client(key);
    this.noKey = key === null;
  }

  async open(): Promise<void> {
    if (this.noKey) return;
    try {
      this.me = await this.client.send<Me>('GET', '/api/me');
      await this.list();
      this.#listen();
    } catch (cause) {
      this.tell(cause);
    }
  }

  async list(): Promise<void> {
    this.vehicles = (await this.client.send<{ vehicles: VehicleRow[] }>('GET', '/api/vehicles')).vehicles;
  }

  /** Puts a vehicle on the bench. */
  async choose(id: number): Promise<void> {
    if (this.vehicle?.id === id) return;
    this.trouble = null;
    try {
      this.vehicle = (await this.client.send<{ vehicle: Vehicle }>('GET', `/api/vehicles/${id}`)).vehicle;
      const ask = new ServerAsk(this.client, id);
      const bench = new Bench(ask);
      const book = new Book(this.client, ask, id);
      this.book?.close();
      this.bench = bench;
      this.book = book;
      void book.open();
      await bench.open();
    } catch (cause) {
      this.tell(cause);
    }
  }

  leave(): void {
    this.book?.close();
    this.vehicle = null;
    this.bench = null;
    this.book = null;
    this.trouble = null;
  }

  /** A new vehicle from a text, a layout or an example; gives its number. */
  async make(from: { text: string } | { layout: string } | { example: string }, name?: string): Promise<number | null> {
    try {
      const answer = await this.client.send<{ vehicle: Vehicle; undo: Undo | null }>(
        'POST',
        '/api/vehicles',
        name ? { ...from, name } : from,
      );
      this.#remember(answer.undo);
      await this.list();
      return answer.vehicle.id;
    } catch (cause) {
      this.tell(cause);
      return null;
    }
  }

  /** Keeps a changed text; a clash with somebody else's change is given back, not overwritten. */
  async write(text: string, what: string, revision = this.vehicle?.revision ?? 0): Promise<Refusal | null> {
    const { vehicle } = this;
    if (!vehicle) return null;
    try {
      const answer = await this.client.send<{ vehicle: Vehicle; undo: Undo | null }>(
        'PUT',
        `/api/vehicles/${vehicle.id}`,
        { text, revision, what },
      );
      this.#remember(answer.undo);
      await this.#renew(answer.vehicle);
      return null;
    } catch (cause) {
      if (cause instanceof Refusal && cause.code === 'conflict') return cause;
      this.tell(cause);
      return cause instanceof Refusal ? cause : null;
    }
  }

  async step(way: 'undo' | 'redo'): Promise<void> {
    const { vehicle } = this;
    if (!vehicle) return;
    try {
      const { vehicle: now } = await this.client.send<{ vehicle: Vehicle }>(
        'POST',
        `/api/vehicles/${vehicle.id}/${way}`,
        { revision: vehicle.revision },
      );
      await this.#renew(now);
    } catch (cause) {
      this.tell(cause);
    }
  }

  async remove(id: number): Promise<void> {
    await this.client.send('DELETE', `/api/vehicles/${id}`);
    if (this.vehicle?.id === id) this.leave();
    await this.list();
  }

  async #renew(vehicle: Vehicle): Promise<void> {
    this.vehicle = vehicle;
    await this.bench?.open();
    await this.list();
  }

  #remember(undo: Undo | null): void {
    if (undo) this.undos = [...this.undos, undo].slice(-100);
  }

  #listen(): void {
    this.#events?.abort();
    this.#events = new AbortController();
    void follow(this.client, this.#events.signal, (kind, data) => void this.#heard(kind, data));
  }

  async #heard(kind: string, data: Record<string, unknown>): Promise<void> {
    const mine = data['vehicle'] === this.vehicle?.id;
    if (kind === 'vehicle' || kind === 'missed') await this.list().catch(() => undefined);
    if (
      kind === 'vehicle' &&
      mine &&
      typeof data['revision'] === 'number' &&
      data['revision'] > (this.vehicle?.revision ?? 0)
    ) {
      const { vehicle } = await this.client.send<{ vehicle: Vehicle }>('GET', `/api/vehicles/${this.vehicle?.id}`);
      await this.#renew(vehicle);
    }
    if ((mine && kind !== 'vehicle') || kind === 'missed') await this.book?.load();
  }

  tell(cause: unknown): void {
    if (cause instanceof Refusal && cause.status === 401) this.noKey = true;
    else if (cause instanceof NoConnection) this.trouble = 'No connection: is the program still running?';
    else this.trouble = cause instanceof Error ? cause.message : String(cause);
  }
}
