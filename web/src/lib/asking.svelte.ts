/** One answer that a view waits for: asked for, there, or refused. */
export class Asking<T> {
  value = $state.raw<T | null>(null);
  waiting = $state(false);
  refused = $state<string | null>(null);
  #turn = 0;

  /** Asks; a later question overtakes an earlier one. */
  async put(question: () => Promise<T>): Promise<void> {
    this.#turn += 1;
    const turn = this.#turn;
    this.waiting = true;
    this.refused = null;
    try {
      const value = await question();
      if (turn === this.#turn) this.value = value;
    } catch (cause) {
      if (turn === this.#turn) {
        this.value = null;
        this.refused = cause instanceof Error ? cause.message : String(cause);
      }
    } finally {
      if (turn === this.#turn) this.waiting = false;
    }
  }
}
