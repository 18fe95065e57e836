/** Something tried on the bench: a resistance dragged, a cable drawn. The file is not touched until it is kept. */
import type { Column } from '../api/picture';
import type { BudgetState, SolvedState, WhatIfState } from '../api/types';
import type { Bench } from '../bench.svelte';
import type { BranchFlow } from '../plan/branches';
import type { Told } from '../told/told';
import { addOhms } from './cable';
import { liveFlows, liveLoads } from './flows';
import { voltsWith } from './update';

export interface Draft {
  readonly from: string;
  readonly to: string;
  readonly squareMillimetres: number;
  readonly metres: number;
}

export type Tried =
  | { readonly kind: 'piece'; readonly id: string; readonly ohms: number }
  | { readonly kind: 'draft'; readonly draft: Draft };

export class Trial {
  readonly #bench: Bench;
  tried = $state.raw<Tried | null>(null);
  /** The file's own resistance of the grabbed piece. */
  fileOhms = $state<number | null>(null);
  /** The first-order answer while dragging. */
  flows = $state.raw<ReadonlyMap<string, BranchFlow> | null>(null);
  volts = $state.raw<ReadonlyMap<string, number | null> | null>(null);
  /** The full answer after release. */
  full = $state.raw<WhatIfState | null>(null);
  /** What is said of it. */
  said = $state.raw<Told | null>(null);
  /** Circuits of loads in the network that is tried, solved in full with it. */
  budgets = $state.raw<ReadonlyMap<string, BudgetState>>(new Map());
  /** Why the followed load has no circuit in it. */
  open = $state<string | null>(null);
  asking = $state(false);
  refused = $state<string | null>(null);
  #column: Column | null = null;
  #wanted = '';
  #frame = 0;
  #turn = 0;

  constructor(bench: Bench) {
    this.#bench = bench;
  }

  get shown(): SolvedState | null {
    return this.full?.after ?? null;
  }

  /** What is tried, as a question has it; nothing while it is not solved in full. */
  get asked(): Record<string, unknown> {
    return this.full && this.tried ? asWhatIf(this.tried) : {};
  }

  /** Volts of each load before and after, in the present state. */
  get gains(): ReadonlyMap<string, { before: number; after: number }> | null {
    const { solved, picture } = this.#bench;
    if (!solved || !picture || this.tried === null) return null;
    if (this.full) {
      return new Map(
        Object.entries(this.full.loads).map(([id, g]) => [id, { before: g.before_volts, after: g.after_volts }]),
      );
    }
    return this.volts ? liveLoads(picture, solved, this.volts) : null;
  }

  /** Takes hold of a piece: asks for its column, so that it is there when the hand moves. */
  async grab(piece: string): Promise<void> {
    await this.#fetch(`${this.#bench.state}\u0000${piece}`, { state: this.#bench.state, piece });
  }

  /** Takes hold of a new cable between two points. */
  async grabBetween(from: string, to: string): Promise<void> {
    const between = [from, to];
    await this.#fetch(`${this.#bench.state}\u0000+${from}\u0000${to}`, { state: this.#bench.state, between });
  }

  async #fetch(wanted: string, asked: Record<string, unknown>): Promise<void> {
    if (this.#wanted === wanted && this.#column) return;
    this.#wanted = wanted;
    this.#column = null;
    this.refused = null;
    try {
      const column = await this.#bench.ask.ask('column', asked);
      if (this.#wanted !== wanted) return;
      this.#column = column;
      this.fileOhms = column.branch_ohms === null ? null : column.piece_ohms;
      if (this.tried) this.#draw();
    } catch (cause) {
      if (this.#wanted === wanted) this.refused = cause instanceof Error ? cause.message : String(cause);
    }
  }

  /** Moves a grabbed piece to a resistance; drawn once a frame. */
  drag(id: string, ohms: number): void {
    this.#move({ kind: 'piece', id, ohms });
  }

  /** Gives a piece this resistance at once, without a hand: the full solution alone. */
  async put(id: string, ohms: number): Promise<void> {
    this.forget();
    this.tried = { kind: 'piece', id, ohms };
    await this.release();
  }

  /** Changes the drawn cable. */
  draw(draft: Draft): void {
    this.#move({ kind: 'draft', draft });
  }

  #move(tried: Tried): void {
    this.tried = tried;
    this.full = null;
    this.budgets = new Map();
    this.open = null;
    this.refused = null;
    this.#turn += 1;
    if (this.#frame === 0) {
      this.#frame = requestAnimationFrame(() => {
        this.#frame = 0;
        this.#draw();
      });
    }
  }

  #draw(): void {
    const { tried } = this;
    const column = this.#column;
    const { solved, picture, branches } = this.#bench;
    if (!tried || !column || !solved || !picture) return;
    const ohms = tried.kind === 'piece' ? tried.ohms : addOhms(tried.draft);
    const volts = voltsWith(column, ohms);
    this.volts = volts;
    this.flows = liveFlows(branches, solved, volts, tried.kind === 'piece' ? { id: tried.id, ohms } : null);
  }

  /** Let go: the full solution takes the place of the first-order one. */
  async release(): Promise<void> {
    const { tried } = this;
    if (!tried) return;
    this.#turn += 1;
    const turn = this.#turn;
    this.asking = true;
    try {
      const { load } = this.#bench;
      const [{ states, told }, circuit] = await Promise.all([
        this.#bench.ask.ask('what-if', { ...asWhatIf(tried), state: this.#bench.state, told: true }),
        this.#circuitOf(load, tried),
      ]);
      if (turn !== this.#turn) return;
      const answer = states[0];
      if (answer) {
        this.full = answer;
        this.said = told ?? null;
        this.#take(load, circuit);
        this.flows = null;
        this.volts = null;
        // Somebody followed another load meanwhile.
        if (this.#bench.load !== load) await this.look();
      }
    } catch (cause) {
      if (turn === this.#turn) this.refused = cause instanceof Error ? cause.message : String(cause);
    } finally {
      if (turn === this.#turn) this.asking = false;
    }
  }

  /** The followed load's circuit in the network that is tried, where it is not there yet. */
  async look(): Promise<void> {
    const { tried } = this;
    const { load } = this.#bench;
    if (!tried || !this.full || this.budgets.has(load)) return;
    const turn = this.#turn;
    this.open = null;
    const circuit = await this.#circuitOf(load, tried);
    if (turn === this.#turn && load === this.#bench.load) this.#take(load, circuit);
  }

  /** The circuit, or in words why there is none. */
  async #circuitOf(load: string, tried: Tried): Promise<BudgetState | string | null> {
    const { state, ask, isOn } = this.#bench;
    if (load === '' || !isOn) return null;
    try {
      const { states } = await ask.ask('budget', { ...asWhatIf(tried), load, state });
      return states[0] ?? null;
    } catch (cause) {
      return cause instanceof Error ? cause.message : String(cause);
    }
  }

  #take(load: string, circuit: BudgetState | string | null): void {
    if (typeof circuit === 'string') this.open = circuit;
    else if (circuit) this.budgets = new Map([...this.budgets, [load, circuit]]);
  }

  /** Back to what the file says. */
  forget(): void {
    this.#turn += 1;
    this.#wanted = '';
    this.#column = null;
    this.tried = null;
    this.flows = null;
    this.volts = null;
    this.full = null;
    this.budgets = new Map();
    this.open = null;
    this.refused = null;
    this.asking = false;
    this.fileOhms = null;
  }
}

/** A drawn cable as the program is asked about it. */
export function asAdded({ from, to, squareMillimetres, metres }: Draft): string {
  return `${from},${to},${squareMillimetres} mm²,${Number(metres.toPrecision(4))} m`;
}

function asWhatIf(tried: Tried): { set: string[]; add: string[] } {
  if (tried.kind === 'piece') return { set: [`${tried.id}=${tried.ohms.toPrecision(6)} Ω`], add: [] };
  return { set: [], add: [asAdded(tried.draft)] };
}
