/** What was done on this page, so that it can be taken back in the opposite order, and done again. */
export interface Act {
  /** For people: what it was. */
  readonly what: string;
  readonly undo: () => Promise<void>;
  readonly redo: () => Promise<void>;
}

/** More than anybody remembers. */
const MOST = 100;

export class Acts {
  #done: Act[] = [];
  #undone: Act[] = [];

  /** Remembers an act; what had been taken back cannot be done again after it. */
  did(act: Act): void {
    this.#done = [...this.#done, act].slice(-MOST);
    this.#undone = [];
  }

  /** Takes the last act back; null when there is none. One that cannot be taken back stays done. */
  async undo(): Promise<Act | null> {
    const act = this.#done.at(-1);
    if (!act) return null;
    await act.undo();
    this.#done = this.#done.filter((one) => one !== act);
    this.#undone = [...this.#undone, act];
    return act;
  }

  /** Does again what was taken back last; null when there is none. */
  async redo(): Promise<Act | null> {
    const act = this.#undone.at(-1);
    if (!act) return null;
    await act.redo();
    this.#undone = this.#undone.filter((one) => one !== act);
    this.#done = [...this.#done, act];
    return act;
  }

  /** Another vehicle is another story. */
  forget(): void {
    this.#done = [];
    this.#undone = [];
  }
}
