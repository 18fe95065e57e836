/**
 * What was entered and has not arrived yet. Kept before anything is said, sent in order, each until the program has
 * it; ids made here let the program recognise what it already has, so that nothing arrives twice.
 */
export interface Parcel {
  readonly cid: string;
  readonly vehicle: number;
  readonly kind: 'reading' | 'work' | 'photo';
  readonly path: string;
  readonly body: unknown;
  readonly blob: Blob | null;
  /** For people: what it is. */
  readonly what: string;
  readonly made: string;
  /** Why the program will not have it; null while it may still arrive. */
  readonly refused: string | null;
}

export interface Shelf {
  all(): Promise<Parcel[]>;
  put(parcel: Parcel): Promise<void>;
  remove(cid: string): Promise<void>;
}

export type Outcome =
  | { readonly kind: 'arrived' }
  | { readonly kind: 'later' }
  | { readonly kind: 'refused'; readonly why: string };

export class Outbox {
  readonly #shelf: Shelf;
  readonly #send: (parcel: Parcel) => Promise<Outcome>;
  readonly #changed: (waiting: readonly Parcel[]) => void;
  #waiting: Parcel[] = [];
  #running: Promise<void> | null = null;

  constructor(shelf: Shelf, send: (parcel: Parcel) => Promise<Outcome>, changed: (waiting: readonly Parcel[]) => void) {
    this.#shelf = shelf;
    this.#send = send;
    this.#changed = changed;
  }

  get waiting(): readonly Parcel[] {
    return this.#waiting;
  }

  /** Takes up what an earlier visit left. */
  async open(): Promise<void> {
    const kept = await this.#shelf.all();
    const known = new Set(this.#waiting.map(({ cid }) => cid));
    this.#waiting = [...kept.filter(({ cid }) => !known.has(cid)), ...this.#waiting].sort((a, b) =>
      a.made < b.made ? -1 : 1,
    );
    this.#tell();
  }

  /** Keeps a parcel; it is safe when this returns, and shown at once. */
  async add(parcel: Parcel): Promise<void> {
    if (this.#waiting.some(({ cid }) => cid === parcel.cid)) return;
    this.#waiting = [...this.#waiting, parcel];
    this.#tell();
    await this.#shelf.put(parcel);
  }

  /** Sends what may be sent; never two at a time. */
  flush(): Promise<void> {
    this.#running ??= this.#run().finally(() => {
      this.#running = null;
    });
    return this.#running;
  }

  async #run(): Promise<void> {
    for (;;) {
      const next = this.#waiting.find(({ refused }) => refused === null);
      if (!next) return;
      const outcome = await this.#send(next);
      if (outcome.kind === 'later') return;
      if (outcome.kind === 'arrived') {
        await this.#drop(next.cid);
      } else {
        const refused = { ...next, refused: outcome.why };
        this.#waiting = this.#waiting.map((parcel) => (parcel.cid === next.cid ? refused : parcel));
        await this.#shelf.put(refused);
        this.#tell();
      }
    }
  }

  /** Takes a parcel back, for example to correct it. */
  async takeBack(cid: string): Promise<Parcel | undefined> {
    const parcel = this.#waiting.find((one) => one.cid === cid);
    if (parcel) await this.#drop(cid);
    return parcel;
  }

  async #drop(cid: string): Promise<void> {
    this.#waiting = this.#waiting.filter((parcel) => parcel.cid !== cid);
    await this.#shelf.remove(cid);
    this.#tell();
  }

  #tell(): void {
    this.#changed(this.#waiting);
  }
}
