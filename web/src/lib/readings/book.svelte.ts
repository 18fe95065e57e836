/** The readings of the opened vehicle, what waits to be sent, and what all of them mean. */
import type { Client } from '../api/client';
import { NoConnection, newCid, Refusal } from '../api/client';
import type { Entry, Photo, ReadingsAnswer, ReadingsFile, Work } from '../api/garage';
import type { Diagnosis, NextReading, Repair } from '../api/types';
import type { Ask } from '../ask';
import { Outbox, type Outcome, type Parcel } from '../queue/outbox';
import { openShelf } from '../queue/shelf';

const RETRY_MS = 4000;

export class Book {
  readonly #client: Client;
  readonly #ask: Ask;
  readonly vehicle: number;
  entries = $state.raw<readonly Entry[]>([]);
  files = $state.raw<readonly ReadingsFile[]>([]);
  work = $state.raw<readonly Work[]>([]);
  photos = $state.raw<readonly Photo[]>([]);
  waiting = $state.raw<readonly Parcel[]>([]);
  diagnosis = $state.raw<Diagnosis | null>(null);
  next = $state.raw<readonly NextReading[]>([]);
  repairs = $state.raw<readonly Repair[] | null>(null);
  complaint = $state<string | null>(null);
  connected = $state(true);
  weighing = $state(false);
  trouble = $state<string | null>(null);
  /** False where this browser forgets what waits when the page is closed. */
  lasting = $state(true);
  #outbox: Outbox | null = null;
  #timer: ReturnType<typeof setInterval> | undefined;
  #turn = 0;
  #stop = new AbortController();

  kept = $derived(this.entries.filter(({ retracted }) => !retracted));
  /** All readings that count, those of whole files too. */
  count = $derived(
    this.kept.length + this.files.filter(({ retracted }) => !retracted).reduce((sum, { entries }) => sum + entries, 0),
  );

  constructor(client: Client, ask: Ask, vehicle: number) {
    this.#client = client;
    this.#ask = ask;
    this.vehicle = vehicle;
  }

  async open(): Promise<void> {
    const { shelf, lasting } = await openShelf();
    this.lasting = lasting;
    this.#outbox = new Outbox(
      shelf,
      (parcel) => this.#deliver(parcel),
      (waiting) => {
        this.waiting = waiting.filter(({ vehicle }) => vehicle === this.vehicle);
      },
    );
    await this.#outbox.open();
    const retry = (): void => void this.flush();
    const { signal } = this.#stop;
    addEventListener('online', retry, { signal });
    document.addEventListener('visibilitychange', retry, { signal });
    this.#timer = setInterval(() => this.waiting.length > 0 && retry(), RETRY_MS);
    await this.load();
    await this.flush();
  }

  close(): void {
    clearInterval(this.#timer);
    this.#stop.abort();
  }

  /** Loads the lists again; what is already shown stays when there is no connection. */
  async load(): Promise<void> {
    try {
      const at = `/api/vehicles/${this.vehicle}`;
      const [{ readings, files }, { work }, { photos }] = await Promise.all([
        this.#client.send<ReadingsAnswer>('GET', `${at}/readings`),
        this.#client.send<{ work: Work[] }>('GET', `${at}/work`),
        this.#client.send<{ photos: Photo[] }>('GET', `${at}/photos`),
      ]);
      this.entries = readings;
      this.files = files;
      this.work = work;
      this.photos = photos;
      this.connected = true;
    } catch (cause) {
      this.#told(cause);
    }
  }

  /** Keeps a reading and sends it when it can. */
  async enter(text: string): Promise<void> {
    const cid = newCid();
    const taken = new Date().toISOString().replace(/\.\d+Z$/, 'Z');
    await this.#keep({ cid, kind: 'reading', path: `readings/${cid}`, body: { text, taken }, blob: null, what: text });
  }

  async record(work: { on: string; what: string; note?: string; torque?: string }): Promise<string> {
    const cid = newCid();
    const when = new Date().toISOString().slice(0, 10);
    await this.#keep({
      cid,
      kind: 'work',
      path: `work/${cid}`,
      body: { ...work, when },
      blob: null,
      what: `${work.what}: ${work.on}`,
    });
    return cid;
  }

  async photograph(on: string, image: Blob, side: 'before' | 'after'): Promise<void> {
    const cid = newCid();
    const query = new URLSearchParams({ on, side });
    await this.#keep({
      cid,
      kind: 'photo',
      path: `photos/${cid}?${query}`,
      body: null,
      blob: image,
      what: `photograph of ${on}`,
    });
  }

  async #keep(parcel: Omit<Parcel, 'vehicle' | 'made' | 'refused'>): Promise<void> {
    const made = new Date().toISOString();
    await this.#outbox?.add({ ...parcel, vehicle: this.vehicle, made, refused: null });
    void this.flush();
  }

  async flush(): Promise<void> {
    if (!this.#outbox) return;
    const before = this.waiting.length;
    await this.#outbox.flush();
    if (before > this.waiting.length) await this.load();
  }

  async #deliver(parcel: Parcel): Promise<Outcome> {
    const path = `/api/vehicles/${parcel.vehicle}/${parcel.path}`;
    try {
      await (parcel.blob ? this.#client.sendBytes(path, parcel.blob) : this.#client.send('PUT', path, parcel.body));
      this.connected = true;
      return { kind: 'arrived' };
    } catch (cause) {
      this.#told(cause);
      // What the program refuses stays here with its reason; a lost key or a busy program may pass.
      const lasting =
        cause instanceof Refusal &&
        cause.status >= 400 &&
        cause.status < 500 &&
        ![401, 408, 429].includes(cause.status);
      return lasting ? { kind: 'refused', why: cause.message } : { kind: 'later' };
    }
  }

  /** Takes the last entry back: out of the outbox, or by retracting it. */
  async takeBack(cid: string): Promise<void> {
    const unsent = await this.#outbox?.takeBack(cid);
    if (unsent) return;
    await this.#act(`readings/${cid}/retract`);
  }

  async restore(cid: string): Promise<void> {
    await this.#act(`readings/${cid}/restore`);
  }

  /** Takes a whole file of readings back, or puts it back. */
  async turnFile(file: ReadingsFile): Promise<void> {
    await this.#act(`readings-files/${file.cid}/${file.retracted ? 'restore' : 'retract'}`);
  }

  async #act(path: string): Promise<void> {
    try {
      await this.#client.send('POST', `/api/vehicles/${this.vehicle}/${path}`, {});
      await this.load();
    } catch (cause) {
      this.#told(cause);
    }
  }

  /** Asks what the readings mean and what to measure next. */
  async weigh(): Promise<void> {
    this.#turn += 1;
    const turn = this.#turn;
    this.weighing = true;
    this.trouble = null;
    const asked = this.complaint === null ? {} : { complaint: this.complaint };
    try {
      const diagnosis = this.count > 0 ? await this.#ask.ask('diagnose', asked) : null;
      if (turn !== this.#turn) return;
      this.diagnosis = diagnosis;
      const { next, plan } = await this.#ask.ask('next', this.count > 0 || this.complaint ? asked : { plan: 6 });
      if (turn !== this.#turn) return;
      this.next = next ?? plan ?? [];
      this.connected = true;
    } catch (cause) {
      if (turn === this.#turn) this.#told(cause);
    } finally {
      if (turn === this.#turn) this.weighing = false;
    }
  }

  async rank(): Promise<void> {
    try {
      this.repairs = (
        await this.#ask.ask('repairs', this.complaint === null ? {} : { complaint: this.complaint })
      ).repairs;
    } catch (cause) {
      this.#told(cause);
    }
  }

  #told(cause: unknown): void {
    if (cause instanceof NoConnection) this.connected = false;
    else this.trouble = cause instanceof Error ? cause.message : String(cause);
  }
}
