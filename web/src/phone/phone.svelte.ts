/** A phone that was let in: its key, the vehicle, bench and book. */
import { ServerAsk } from '../app/desk.svelte';
import { follow } from '../app/events';
import { Client, NoConnection, Refusal } from '../lib/api/client';
import type { Me, VehicleRow } from '../lib/api/garage';
import { Bench } from '../lib/bench.svelte';
import { Book } from '../lib/readings/book.svelte';
import { browserDrawer, RememberingAsk } from './remembering';

const KEY = 'groundloom.phone-key';
const VEHICLES = 'groundloom.phone-vehicles';

interface Paired {
  readonly key: string;
  readonly vehicle?: number | null;
}

export class Phone {
  readonly client = new Client(browserDrawer.get(KEY) || null);
  me = $state.raw<Me | null>(null);
  vehicles = $state.raw<readonly VehicleRow[]>([]);
  bench = $state.raw<Bench | null>(null);
  book = $state.raw<Book | null>(null);
  trouble = $state<string | null>(null);
  mustPair = $state(false);

  async open(): Promise<void> {
    const code = /[#&]pair=([^&]+)/.exec(location.hash)?.[1];
    const key = /[#&]key=([^&]+)/.exec(location.hash)?.[1];
    if (code !== undefined || key !== undefined) history.replaceState(null, '', location.pathname + location.search);
    if (key !== undefined) this.#keep(key);
    if (code !== undefined) await this.pair(code);
    else await this.enter();
  }

  /** Changes a code for a key that belongs to this phone. */
  async pair(code: string): Promise<void> {
    try {
      const name = /iPhone|iPad|Android|Mobile/.exec(navigator.userAgent)?.[0] ?? 'browser';
      const paired = await this.client.send<Paired>('POST', '/api/pair', { code: code.trim(), name });
      this.#keep(paired.key);
      await this.enter();
    } catch (cause) {
      this.mustPair = true;
      this.trouble =
        cause instanceof Refusal
          ? `${cause.message}. A code is good for two minutes and once.`
          : 'No connection to the program.';
    }
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
      if (cause instanceof Refusal && cause.status === 401) {
        this.mustPair = true;
        return;
      }
      // Without the program, the phone goes on with what it knew.
      this.vehicles = JSON.parse(browserDrawer.get(VEHICLES) ?? '[]') as VehicleRow[];
      if (!(cause instanceof NoConnection)) this.trouble = cause instanceof Error ? cause.message : String(cause);
    }
    const only = this.vehicles.length === 1 ? this.vehicles[0] : undefined;
    const last = Number(browserDrawer.get('groundloom.phone-vehicle') ?? 0);
    const wanted = this.vehicles.find(({ id }) => id === last) ?? only;
    if (wanted) await this.choose(wanted.id);
    void follow(this.client, new AbortController().signal, (kind, data) => {
      if (kind === 'missed' || data['vehicle'] === this.book?.vehicle) void this.book?.load();
    });
  }

  async choose(id: number): Promise<void> {
    browserDrawer.set('groundloom.phone-vehicle', String(id));
    const ask = new RememberingAsk(new ServerAsk(this.client, id), browserDrawer, String(id));
    const bench = new Bench(ask);
    this.book?.close();
    this.bench = bench;
    this.book = new Book(this.client, ask, id);
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
