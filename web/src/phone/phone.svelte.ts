/** A phone that was let in: its key, the vehicle, bench and book. */
import { ServerAsk } from '../app/desk.svelte';
import { follow } from '../app/events';
import { Client, NoConnection, Refusal } from '../lib/api/client';
import type { Me, VehicleRow } from '../lib/api/garage';
import { Bench } from '../lib/bench.svelte';
import { browserDrawer } from '../lib/queue/drawer';
import { openShelf } from '../lib/queue/shelf';
import { Book } from '../lib/readings/book.svelte';
import { RememberingAsk } from './remembering';

const KEY = 'groundloom.phone-key';
const VEHICLES = 'groundloom.phone-vehicles';
const LAST = 'groundloom.phone-vehicle';
const AGAIN = 'Ask for a new code at the desk: Hand on, Let a phone in.';

interface Paired {
  readonly key: string;
}

export class Phone {
  readonly client = new Client(browserDrawer.get(KEY) || null);
  me = $state.raw<Me | null>(null);
  vehicles = $state.raw<readonly VehicleRow[]>([]);
  bench = $state.raw<Bench | null>(null);
  book = $state.raw<Book | null>(null);
  trouble = $state<string | null>(null);
  mustPair = $state(false);
  /** Somebody waits for the answer to a code. */
  pairing = $state(false);
  #events = new AbortController();

  constructor() {
    this.client.onrefused = () => void this.#sentAway();
  }

  async open(): Promise<void> {
    const code = /[#&]pair=([^&]+)/.exec(location.hash)?.[1];
    const key = /[#&]key=([^&]+)/.exec(location.hash)?.[1];
    const vehicle = /[#&]vehicle=(\d+)/.exec(location.hash)?.[1];
    if (vehicle !== undefined) browserDrawer.set(LAST, vehicle);
    if (code !== undefined || key !== undefined) history.replaceState(null, '', location.pathname + location.search);
    if (key !== undefined) this.#keep(key);
    if (code !== undefined) await this.pair(code);
    else await this.enter();
  }

  /** Changes a code for a key that belongs to this phone. */
  async pair(code: string): Promise<void> {
    if (code.trim() === '') {
      this.trouble = 'Type the eight letters that the desk shows.';
      return;
    }
    this.trouble = null;
    this.pairing = true;
    try {
      const name = /iPhone|iPad|Android|Mobile/.exec(navigator.userAgent)?.[0] ?? 'browser';
      const paired = await this.client.send<Paired>('POST', '/api/pair', { code: code.trim(), name });
      this.#keep(paired.key);
      await this.enter();
    } catch (cause) {
      // A phone that is in already and opens its old link again stays in.
      if (cause instanceof Refusal && this.client.hasKey && !this.mustPair) {
        await this.enter();
        return;
      }
      this.mustPair = true;
      this.trouble = refusedWords(cause);
    } finally {
      this.pairing = false;
    }
  }

  /** The key is good for nothing any more: back to the door, with what was not sent kept for the next key. */
  async #sentAway(): Promise<void> {
    this.#events.abort();
    this.leave();
    if (this.mustPair) return;
    this.mustPair = true;
    const gone = 'The desk took this phone’s key away, or its time is over.';
    this.trouble = `${gone} ${AGAIN}`;
    const kept = (await (await openShelf()).shelf.all()).length;
    const what = kept === 1 ? '1 entry is' : `${kept} entries are`;
    if (kept > 0 && this.mustPair)
      this.trouble = `${gone} ${what} kept here and sent when it is let in again. ${AGAIN}`;
  }

  #keep(key: string): void {
    browserDrawer.set(KEY, key);
    this.client.useKey(key);
  }

  async enter(): Promise<void> {
    if (!this.client.hasKey) {
      this.mustPair = true;
      return;
    }
    this.mustPair = false;
    this.trouble = null;
    try {
      this.me = await this.client.send<Me>('GET', '/api/me');
      this.client.setClock(this.me.now);
      this.vehicles = (await this.client.send<{ vehicles: VehicleRow[] }>('GET', '/api/vehicles')).vehicles;
      browserDrawer.set(VEHICLES, JSON.stringify(this.vehicles));
    } catch (cause) {
      if (cause instanceof Refusal && cause.status === 401) return;
      // Without the program, the phone goes on with what it knew.
      this.vehicles = JSON.parse(browserDrawer.get(VEHICLES) ?? '[]') as VehicleRow[];
      if (!(cause instanceof NoConnection)) this.trouble = cause instanceof Error ? cause.message : String(cause);
    }
    const only = this.vehicles.length === 1 ? this.vehicles[0] : undefined;
    const last = Number(browserDrawer.get(LAST) ?? 0);
    const wanted = this.vehicles.find(({ id }) => id === last) ?? only;
    if (wanted) await this.choose(wanted.id);
    this.#events.abort();
    this.#events = new AbortController();
    void follow(this.client, this.#events.signal, (kind, data) => {
      if (kind === 'missed' || data['vehicle'] === this.book?.vehicle) void this.book?.load();
    });
  }

  async choose(id: number): Promise<void> {
    browserDrawer.set(LAST, String(id));
    const ask = new RememberingAsk(new ServerAsk(this.client, id), browserDrawer, String(id));
    const bench = new Bench(ask);
    this.book?.close();
    this.bench = bench;
    this.book = new Book(this.client, ask, id, browserDrawer);
    void this.book.open();
    try {
      await bench.open();
    } catch (cause) {
      this.trouble =
        cause instanceof NoConnection ? 'No connection, and this phone has not seen this vehicle yet.' : String(cause);
    }
  }

  leave(): void {
    this.book?.close();
    this.bench = null;
    this.book = null;
  }
}

/** Why a code was not taken, and what to do. */
function refusedWords(cause: unknown): string {
  if (!(cause instanceof Refusal))
    return 'No connection to the program: is this phone in the same network as the desk?';
  if (cause.status === 429)
    return 'Too many codes were tried in a short time. Wait a minute, then type the code again.';
  const why = cause.message;
  return `${why.charAt(0).toUpperCase()}${why.slice(1)}. ${AGAIN}`;
}
