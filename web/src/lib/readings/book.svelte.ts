/** The readings of the opened vehicle, what waits to be sent, and what all of them mean. */
import type { Act, Acts } from '../acts';
import type { Client } from '../api/client';
import { NoConnection, newCid, Refusal } from '../api/client';
import type { Entry, KeptResult, Photo, Proof, ReadingsAnswer, ReadingsFile, Work } from '../api/garage';
import type { Diagnosis, NextReading, Repairs } from '../api/types';
import type { Ask, How, Saying } from '../ask';
import { Asking } from '../asking.svelte';
import { textOf } from '../files';
import type { Drawer } from '../queue/drawer';
import { Outbox, type Outcome, type Parcel } from '../queue/outbox';
import { openShelf } from '../queue/shelf';

const RETRY_MS = 4000;

export class Book {
  readonly #client: Client;
  readonly #ask: Ask;
  readonly #drawer: Drawer | null;
  readonly #acts: Acts | null;
  readonly #place: string;
  readonly vehicle: number;
  /** The lists were asked for once: what they hold is all that is known. */
  known = $state(false);
  entries = $state.raw<readonly Entry[]>([]);
  files = $state.raw<readonly ReadingsFile[]>([]);
  work = $state.raw<readonly Work[]>([]);
  proofs = $state.raw<readonly Proof[]>([]);
  photos = $state.raw<readonly Photo[]>([]);
  waiting = $state.raw<readonly Parcel[]>([]);
  diagnosis = $state.raw<Saying<Diagnosis> | null>(null);
  next = $state.raw<readonly NextReading[]>([]);
  repairs = $state.raw<Saying<Repairs> | null>(null);
  complaint = $state<string | null>(null);
  connected = $state(true);
  /** What the readings mean, while it is worked out. */
  readonly weighing = new Asking<void>();
  /** What is worth doing, likewise. */
  readonly ranking = new Asking<void>();
  trouble = $state<string | null>(null);
  /** False where this browser forgets what waits when the page is closed. */
  lasting = $state(true);
  #outbox: Outbox | null = null;
  #timer: ReturnType<typeof setInterval> | undefined;
  #stop = new AbortController();

  /** Readings that are weighed: neither taken back nor from before the last work. */
  kept = $derived(this.entries.filter(counts));
  /** How many are weighed, those of whole files too. */
  count = $derived(this.kept.length + this.files.filter(counts).reduce((sum, { entries }) => sum + entries, 0));

  /** With a drawer, what was last known is there without a connection. */
  constructor(client: Client, ask: Ask, vehicle: number, drawer: Drawer | null = null, acts: Acts | null = null) {
    this.#client = client;
    this.#ask = ask;
    this.vehicle = vehicle;
    this.#drawer = drawer;
    this.#acts = acts;
    this.#place = `groundloom.book.${vehicle}`;
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
    this.weighing.stop();
    this.ranking.stop();
    clearInterval(this.#timer);
    this.#stop.abort();
  }

  /** Loads the lists again; what is already shown stays when there is no connection. */
  async load(): Promise<void> {
    try {
      const at = `/api/vehicles/${this.vehicle}`;
      const [{ readings, files }, { work }, { photos }, { proofs }] = await Promise.all([
        this.#client.send<ReadingsAnswer>('GET', `${at}/readings`),
        this.#client.send<{ work: Work[] }>('GET', `${at}/work`),
        this.#client.send<{ photos: Photo[] }>('GET', `${at}/photos`),
        this.#client.send<{ proofs: Proof[] }>('GET', `${at}/proof`),
      ]);
      this.#show({ readings, files, work, photos, proofs });
      this.connected = true;
    } catch (cause) {
      this.#told(cause);
      const kept = this.known ? null : this.#drawer?.get(this.#place);
      if (kept) this.#show(JSON.parse(kept) as Lists);
    }
    this.known = true;
  }

  #show(lists: Lists): void {
    this.entries = lists.readings;
    this.files = lists.files;
    this.work = lists.work;
    this.photos = lists.photos;
    this.proofs = lists.proofs;
    this.#drawer?.set(this.#place, JSON.stringify(lists));
  }

  /** Keeps a reading and sends it when it can. */
  async enter(text: string): Promise<void> {
    const cid = newCid();
    const taken = this.#client.now();
    await this.#keep({ cid, kind: 'reading', path: `readings/${cid}`, body: { text, taken }, blob: null, what: text });
  }

  async record(work: { on: string; what: string; note?: string; torque?: string }): Promise<string> {
    const cid = newCid();
    const when = this.#client.now();
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
    const whole: Parcel = { ...parcel, vehicle: this.vehicle, made, refused: null };
    await this.#outbox?.add(whole);
    const own = { cid: whole.cid, what: whole.what };
    this.#acts?.did(this.#turning(LISTS[whole.kind], own));
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
      return lasting ? { kind: 'refused', why: cause.told } : { kind: 'later' };
    }
  }

  /** Brings in a whole file of readings. */
  async bring(file: File): Promise<void> {
    this.trouble = null;
    try {
      const text = await textOf(file);
      const cid = newCid();
      await this.#change('PUT', `readings-files/${cid}`, { name: file.name, text });
      this.#acts?.did(this.#turning('readings-files', { cid, what: file.name }));
    } catch (cause) {
      this.#told(cause);
    }
  }

  /** Takes an entry of a list back, or puts it back; what was not sent yet leaves the outbox. */
  async turn(list: List, own: Turned): Promise<void> {
    const turning = this.#turning(list, { cid: own.cid, what: own.what ?? 'an entry' });
    // To take an entry back is the opposite of having put it there.
    const turned: Act = own.retracted ? turning : { what: turning.what, undo: turning.redo, redo: turning.undo };
    try {
      await turned.redo();
      this.#acts?.did(turned);
    } catch (cause) {
      this.#told(cause);
    }
  }

  /** How an entry is taken back and put there again, sent or not. */
  #turning(list: List, { cid, what }: { cid: string; what: string }): Act {
    let unsent: Parcel | undefined;
    return {
      what,
      undo: async () => {
        unsent = await this.#outbox?.takeBack(cid);
        if (!unsent) await this.#change('POST', `${list}/${cid}/retract`, {});
      },
      redo: async () => {
        if (unsent) await this.#outbox?.add(unsent);
        else await this.#change('POST', `${list}/${cid}/restore`, {});
        unsent = undefined;
        void this.flush();
      },
    };
  }

  /** Changes something and shows what has become of it. */
  async #change(method: 'POST' | 'PUT', path: string, body: unknown): Promise<void> {
    this.trouble = null;
    await this.#client.send(method, `/api/vehicles/${this.vehicle}/${path}`, body);
    await this.load();
  }

  /** What the present complaint adds to a question. */
  get asked(): { readonly complaint?: string } {
    return this.complaint === null ? {} : { complaint: this.complaint };
  }

  /** Asks what the readings mean and what to measure next. */
  weigh(): Promise<void> {
    return this.#work(this.weighing, async (how) => {
      const diagnosis = this.count > 0 ? await this.#ask.ask('diagnose', { ...this.asked, told: true }, how) : null;
      if (how.signal?.aborted) return;
      this.diagnosis = diagnosis;
      const { next, plan } = await this.#ask.ask(
        'next',
        this.count > 0 || this.complaint ? this.asked : { plan: 6 },
        how,
      );
      if (!how.signal?.aborted) this.next = next ?? plan ?? [];
    });
  }

  /** Asks what is worth doing. */
  rank(): Promise<void> {
    return this.#work(this.ranking, async (how) => {
      const repairs = await this.#ask.ask('repairs', { ...this.asked, told: true }, how);
      if (!how.signal?.aborted) this.repairs = repairs;
    });
  }

  async #work(asking: Asking<void>, question: (how: How) => Promise<void>): Promise<void> {
    this.trouble = null;
    await asking.put(async (how) => {
      try {
        await question(how);
        this.connected = true;
      } catch (cause) {
        if (how.signal?.aborted) throw cause;
        this.#told(cause);
      }
    });
  }

  /** Asks once more and keeps the answer with the program's version. */
  async keepAnswer(question: 'diagnose' | 'repairs' | 'failures'): Promise<void> {
    const asked = { ...(question === 'failures' ? {} : this.asked), told: true };
    try {
      await this.#change('POST', 'results', { question, asked });
    } catch (cause) {
      this.#told(cause);
    }
  }

  /** The answers that were kept, the latest first. */
  async keptAnswers(): Promise<readonly KeptResult[]> {
    const path = `/api/vehicles/${this.vehicle}/results`;
    return (await this.#client.send<{ results: KeptResult[] }>('GET', path)).results;
  }

  #told(cause: unknown): void {
    if (cause instanceof NoConnection) this.connected = false;
    else this.trouble = cause instanceof Error ? cause.message : String(cause);
  }
}

interface Lists {
  readonly readings: readonly Entry[];
  readonly files: readonly ReadingsFile[];
  readonly work: readonly Work[];
  readonly photos: readonly Photo[];
  readonly proofs: readonly Proof[];
}

type List = 'readings' | 'readings-files' | 'work' | 'photos';

const LISTS = { reading: 'readings', work: 'work', photo: 'photos' } as const;

interface Turned {
  readonly cid: string;
  readonly retracted: boolean;
  /** What a person calls it: a reading's line, what work was. */
  readonly what?: string | undefined;
}

function counts(own: { readonly retracted: boolean; readonly before_work: boolean }): boolean {
  return !own.retracted && !own.before_work;
}
