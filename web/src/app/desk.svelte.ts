/** The running program as this page sees it: who we are, which vehicles there are, which one is open. */
import { Acts } from '../lib/acts';
import { Client, NoConnection, newCid, Refusal } from '../lib/api/client';
import type { Me, Vehicle, VehicleRow } from '../lib/api/garage';
import type { Answers, Ask, Asked, How, Question } from '../lib/ask';
import { Bench } from '../lib/bench.svelte';
import { textOf } from '../lib/files';
import { Book } from '../lib/readings/book.svelte';
import { follow } from './events';
import { asWork, takesLong } from './jobs';
import { placeHash } from './route';

const KEY = 'groundloom.key';

/** The key from the address (then cleared, but for the vehicle that it opens) or from this tab's memory. */
export function takeKey(): string | null {
  return keyFromAddress() ?? sessionStorage.getItem(KEY);
}

/** The key from the address, which is then cleared. */
export function keyFromAddress(): string | null {
  const found = /[#&]key=([^&]+)/.exec(location.hash)?.[1];
  if (found) {
    sessionStorage.setItem(KEY, found);
    const vehicle = /[#&]vehicle=(\d+)/.exec(location.hash)?.[1];
    const rest = vehicle === undefined ? '' : placeHash({ vehicle: Number(vehicle), sheet: 'plan' });
    history.replaceState(null, '', location.pathname + rest);
  }
  return found ?? null;
}

export class ServerAsk implements Ask {
  readonly #client: Client;
  readonly #vehicle: number;

  constructor(client: Client, vehicle: number) {
    this.#client = client;
    this.#vehicle = vehicle;
  }

  ask<Q extends Question>(question: Q, asked: Asked, how?: How): Promise<Answers[Q]> {
    const whole = { vehicle: this.#vehicle, ...asked };
    if (takesLong(question)) return asWork(this.#client, question, whole, how);
    return this.#client.send<Answers[Q]>('POST', `/api/${question}`, whole, how?.signal);
  }
}

/** What a new vehicle begins with; a text that has errors only where it is wanted all the same. */
export type Beginning = { text: string; even_unread?: boolean } | { layout: string } | { example: string };

/** A text in the editor that differs from what is kept. */
export interface Draft {
  readonly text: string;
  /** The revision that it changes. */
  readonly base: number;
  readonly what: string;
}

export class Desk {
  readonly client: Client;
  me = $state.raw<Me | null>(null);
  vehicles = $state.raw<readonly VehicleRow[] | null>(null);
  /** Vehicles that were put away; nothing of them is lost. */
  away = $state.raw<readonly VehicleRow[]>([]);
  vehicle = $state.raw<Vehicle | null>(null);
  bench = $state.raw<Bench | null>(null);
  book = $state.raw<Book | null>(null);
  trouble = $state<string | null>(null);
  /** Why the text that was brought last was not taken: it has errors. */
  unread = $state.raw<Refusal | null>(null);
  /** What was taken back or done again last, in words. */
  said = $state<string | null>(null);
  readonly acts = new Acts();
  noKey = $state(false);
  /** The program is not there: it ended, or the connection did. */
  cut = $state(false);
  mayEdit = $derived(this.me?.role === 'desk' || this.me?.role === 'edit');
  /** Something happened elsewhere that the person here should know. */
  notice = $state<string | null>(null);
  /** How often devices were let in or sent away: their list is good for one count. */
  devices = $state(0);
  /** Texts that were typed and not kept yet, by vehicle: they outlive their sheet. */
  readonly drafts = new Map<number, Draft>();
  #events: AbortController | null = null;
  /** Counts vehicles that were asked for, so that a late answer does not take the place of a later one. */
  #wanted = 0;

  constructor(key: string | null) {
    this.client = new Client(key);
    this.client.onrefused = () => this.#refused();
    this.noKey = key === null;
  }

  /** The program was started again: what is open stays to be seen and copied, but nothing is asked any more. */
  #refused(): void {
    this.noKey = true;
    this.#events?.abort();
    this.book?.close();
  }

  /** Goes on with a key that came in the address while the page was open; what is open and unsaved stays. */
  async unlock(key: string): Promise<void> {
    this.client.useKey(key);
    this.noKey = false;
    this.trouble = null;
    if (this.bench && this.book) {
      this.book.close();
      this.book = new Book(this.client, this.bench.ask, this.book.vehicle);
      void this.book.open();
    }
    await this.open();
  }

  async open(): Promise<void> {
    if (this.noKey) return;
    try {
      this.me = await this.client.send<Me>('GET', '/api/me');
      this.client.setClock(this.me.now);
      await this.list();
      this.#listen();
    } catch (cause) {
      this.tell(cause);
    }
  }

  async list(): Promise<void> {
    const path = '/api/vehicles?removed=true';
    const { vehicles } = await this.client.send<{ vehicles: VehicleRow[] }>('GET', path);
    this.vehicles = vehicles.filter(({ removed }) => !removed);
    this.away = vehicles.filter(({ removed }) => removed);
  }

  /** Puts a vehicle on the bench. */
  async choose(id: number): Promise<void> {
    this.#wanted += 1;
    if (this.vehicle?.id === id) return;
    const wanted = this.#wanted;
    this.trouble = null;
    this.said = null;
    this.acts.forget();
    try {
      const { vehicle } = await this.client.send<{ vehicle: Vehicle }>('GET', `/api/vehicles/${id}`);
      if (wanted !== this.#wanted) return;
      this.vehicle = vehicle;
      const ask = new ServerAsk(this.client, id);
      const bench = new Bench(ask);
      const book = new Book(this.client, ask, id, null, this.acts);
      this.book?.close();
      this.bench = bench;
      this.book = book;
      void book.open();
      await bench.open();
    } catch (cause) {
      if (wanted === this.#wanted) this.tell(cause);
    }
  }

  leave(): void {
    this.#wanted += 1;
    this.said = null;
    this.acts.forget();
    this.book?.close();
    this.vehicle = null;
    this.bench = null;
    this.book = null;
    this.trouble = null;
    this.unread = null;
  }

  /** A new vehicle from a text, a layout or an example; gives its number. */
  async make(from: Beginning, name?: string): Promise<number | null> {
    this.trouble = null;
    this.unread = null;
    try {
      const answer = await this.client.send<{ vehicle: Vehicle }>(
        'POST',
        '/api/vehicles',
        name ? { ...from, name } : from,
      );
      await this.list();
      return answer.vehicle.id;
    } catch (cause) {
      if (cause instanceof Refusal && cause.code === 'problems') this.unread = cause;
      else this.tell(cause);
      return null;
    }
  }

  /** Brings a file of readings to a vehicle. */
  async bring(vehicle: number, file: File): Promise<void> {
    const path = `/api/vehicles/${vehicle}/readings-files/${newCid()}`;
    await this.client.send('PUT', path, { name: file.name, text: await textOf(file) });
  }

  /**
   * Keeps a changed text of a vehicle; a clash with somebody else's change is given back, not overwritten. The vehicle
   * is the one that the text is of: another one may lie on the bench by now.
   */
  async write(
    of: Pick<Vehicle, 'id' | 'revision'>,
    text: string,
    what: string,
    evenUnread = false,
  ): Promise<Refusal | null> {
    const { id, revision } = of;
    try {
      const answer = await this.client.send<{ vehicle: Vehicle }>('PUT', `/api/vehicles/${id}`, {
        text,
        revision,
        what,
        even_unread: evenUnread,
      });
      if (this.vehicle?.id !== id) {
        await this.list();
        return null;
      }
      await this.#renew(answer.vehicle);
      // The same text again makes no version: there is nothing to take back.
      if (answer.vehicle.revision !== revision)
        this.acts.did({ what, undo: () => this.step('undo'), redo: () => this.step('redo') });
      return null;
    } catch (cause) {
      if (cause instanceof Refusal && ['conflict', 'problems'].includes(cause.code)) return cause;
      this.tell(cause);
      return cause instanceof Refusal ? cause : null;
    }
  }

  /** Takes the last act back, whatever it was, or does it again; without one, the file goes a step back or on. */
  async again(way: 'undo' | 'redo', file: boolean): Promise<void> {
    try {
      const act = await this.acts[way]();
      if (act) this.said = `${way === 'undo' ? 'Taken back' : 'Done again'}: ${act.what}`;
      else if (file) await this.step(way);
    } catch (cause) {
      this.tell(cause);
    }
  }

  /** One step back or on in the history of the file. */
  async step(way: 'undo' | 'redo'): Promise<void> {
    const { vehicle } = this;
    if (!vehicle) return;
    try {
      const { vehicle: now } = await this.client.send<{ vehicle: Vehicle }>(
        'POST',
        `/api/vehicles/${vehicle.id}/${way}`,
        { revision: vehicle.revision },
      );
      if (this.vehicle?.id === vehicle.id) await this.#renew(now);
    } catch (cause) {
      this.tell(cause);
    }
  }

  /** Puts a vehicle away, or brings it back. */
  async turn({ id, removed }: VehicleRow): Promise<void> {
    this.trouble = null;
    try {
      if (removed) await this.client.send('POST', `/api/vehicles/${id}/restore`, {});
      else await this.client.send('DELETE', `/api/vehicles/${id}`);
      await this.list();
    } catch (cause) {
      this.tell(cause);
    }
  }

  async #renew(vehicle: Vehicle): Promise<void> {
    this.vehicle = vehicle;
    await this.bench?.open();
    await this.list();
  }

  #listen(): void {
    this.#events?.abort();
    this.#events = new AbortController();
    void follow(this.client, this.#events.signal, (kind, data) => void this.#heard(kind, data));
  }

  async #heard(kind: string, data: Record<string, unknown>): Promise<void> {
    const mine = data['vehicle'] === this.vehicle?.id;
    if (['there', 'missed', 'away'].includes(kind)) this.cut = kind === 'away';
    if (kind === 'device' || kind === 'missed') this.devices += 1;
    if (kind === 'device' && data['what'] === 'paired') {
      this.notice = `A phone was let in: ${data['name']}. It may ${data['role'] === 'read' ? 'take readings' : data['role']}; Hand on lists it and can send it away.`;
    }
    if (kind === 'vehicle' || kind === 'missed') await this.list().catch(() => undefined);
    if (
      kind === 'vehicle' &&
      mine &&
      typeof data['revision'] === 'number' &&
      data['revision'] > (this.vehicle?.revision ?? 0)
    ) {
      const { vehicle } = await this.client.send<{ vehicle: Vehicle }>('GET', `/api/vehicles/${this.vehicle?.id}`);
      if (this.vehicle?.id === vehicle.id) await this.#renew(vehicle);
    }
    if ((mine && kind !== 'vehicle') || kind === 'missed') await this.book?.load();
  }

  tell(cause: unknown): void {
    if (cause instanceof Refusal && cause.status === 401) this.#refused();
    else if (cause instanceof NoConnection) this.trouble = 'No connection: is the program still running?';
    else if (cause instanceof Refusal) this.trouble = cause.told;
    else this.trouble = cause instanceof Error ? cause.message : String(cause);
  }
}
