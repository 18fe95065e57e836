/** The opened vehicle on the bench: what it is, which state is looked at, what is picked, what is tried. */

import type { Picture } from './api/picture';
import type { BudgetState, SolvedState } from './api/types';
import type { Ask } from './ask';
import { Trial } from './live/trial.svelte';
import { type Live, type Loop, unroll } from './loop/unroll';
import { type Branch, type BranchFlow, branchesOf, flowsOf } from './plan/branches';
import type { Form } from './quantity/format';
import { partOf, saidText, type Told } from './told/told';
import { learnNames, nameOf } from './words';

export class Bench {
  readonly ask: Ask;
  readonly trial: Trial = new Trial(this);
  picture = $state.raw<Picture | null>(null);
  /** The file has an error, so that nothing can be drawn. */
  undrawable = $state(false);
  state = $state('');
  picked = $state<string | null>(null);
  load = $state('');
  /** Something went wrong while asking, in words. */
  trouble = $state<string | null>(null);
  #solved = $state.raw<ReadonlyMap<string, SolvedState>>(new Map());
  #budgets = $state.raw<ReadonlyMap<string, BudgetState>>(new Map());
  /** What is said of each state. */
  #said = $state.raw<ReadonlyMap<string, Told>>(new Map());
  /** By state; null while it is asked for and where it could not be had. */
  #heats = $state.raw<ReadonlyMap<string, Told | null>>(new Map());

  branches = $derived<Branch[]>(this.picture ? branchesOf(this.picture) : []);
  branchById = $derived(new Map(this.branches.map((branch) => [branch.id, branch])));
  solved = $derived<SolvedState | null>(this.#solved.get(this.state) ?? null);
  /** What is shown: the file's own answer, or that of a trial. */
  shown = $derived.by<SolvedState | null>(() => this.trial.shown ?? this.solved);
  flows = $derived<ReadonlyMap<string, BranchFlow>>(
    this.trial.flows ?? (this.shown ? flowsOf(this.branches, this.shown) : new Map()),
  );
  fileFlows = $derived<ReadonlyMap<string, BranchFlow>>(this.solved ? flowsOf(this.branches, this.solved) : new Map());
  /** The followed load's circuit: as the file has it, or solved with what is tried. */
  budget = $derived.by<BudgetState | null>(() =>
    this.trial.full
      ? (this.trial.budgets.get(this.load) ?? null)
      : (this.#budgets.get(`${this.load}\u0000${this.state}`) ?? null),
  );

  /** What is said of the warmth of everything in this state as the file has it; see `warm`. */
  heat = $derived<Told | null>(this.#heats.get(this.state) ?? null);
  /** What is said of what is shown: of the file's own answer, or of a trial's. */
  said = $derived<Told | null>((this.trial.full ? this.trial.said : this.#said.get(this.state)) ?? null);

  /** The conductor or device that each joint belongs to. */
  #branchOfJoint = $derived(
    new Map(this.branches.flatMap((branch) => branch.joints.map((joint) => [joint, branch.id] as const))),
  );
  /** Terminals of everything that gives or takes current. */
  #terminals = $derived.by(() => {
    const { picture } = this;
    const positive = picture?.earth === 'positive';
    const devices = picture ? [...picture.loads, ...picture.batteries, ...picture.sources] : [];
    return new Map(
      devices.map((own) => [
        own.id,
        positive ? { feed: own.negative, home: own.positive } : { feed: own.positive, home: own.negative },
      ]),
    );
  });
  /** The followed load's circuit as it is shown. */
  loop = $derived.by<Loop | null>(() => {
    const { budget, branchById, shown, trial } = this;
    if (!budget || !shown) return null;
    const { volts } = trial;
    const amps = (flows: ReadonlyMap<string, BranchFlow>, piece: string): number | null =>
      flows.get(this.#branchOfJoint.get(piece) ?? piece)?.amps ?? null;
    const live: Live | null = volts && {
      amps: (piece) => amps(this.flows, piece),
      before: (piece) => amps(this.fileFlows, piece),
      ohms: (piece) => this.ohmsOf(piece),
      volts: (point) => volts.get(point) ?? null,
    };
    return unroll(this.load, budget, {
      branches: branchById,
      earth: this.picture?.earth ?? 'negative',
      volts: (point) => volts?.get(point) ?? shown.points[point]?.volts ?? null,
      terminals: (device) => this.#terminals.get(device) ?? null,
      live,
    });
  });

  constructor(ask: Ask) {
    this.ask = ask;
  }

  /** Resistance of a piece as it is shown: tried, or of the file. */
  ohmsOf(piece: string): number | null {
    const { tried } = this.trial;
    if (tried?.kind === 'piece' && tried.id === piece) return tried.ohms;
    const { solved } = this;
    const own =
      solved?.conductors[piece] ??
      solved?.joints[piece] ??
      solved?.stretches[piece] ??
      solved?.inline[piece] ??
      solved?.incidental[piece];
    return own?.ohms ?? null;
  }

  /** The plan in words, for those who hear it. */
  planWords(form: Form): string {
    const said = saidText(partOf(this.said, `states.${this.state}.plan`), form, nameOf);
    return said === '' ? `Plan of ${this.picture?.name ?? ''}, ${this.state}.` : said;
  }

  /** Puts a vehicle on the bench; keeps state, load and pick where they still mean something. */
  async open(): Promise<void> {
    const { drawing: picture } = await this.ask.ask('picture', {});
    this.#solved = new Map();
    this.#budgets = new Map();
    this.#heats = new Map();
    this.#said = new Map();
    this.trial.forget();
    this.undrawable = picture === null;
    if (picture === null) return;
    learnNames(picture.joints);
    this.picture = picture;
    if (!picture.states.some(({ id }) => id === this.state)) this.state = firstState(picture);
    if (!picture.loads.some(({ id }) => id === this.load)) this.load = heaviest(picture, this.state);
    await this.#look();
  }

  async choose(state: string): Promise<void> {
    this.trial.forget();
    this.state = state;
    const load = this.picture?.loads.find(({ id }) => id === this.load);
    if (this.picture && load && !load.on.includes(state)) {
      const other = heaviest(this.picture, state);
      if (this.picture.loads.find(({ id }) => id === other)?.on.includes(state)) this.load = other;
    }
    await this.#look();
  }

  async follow(load: string): Promise<void> {
    this.load = load;
    await Promise.all([this.#look(), this.trial.look()]);
  }

  /** True where the followed load is on in the state that is looked at. */
  get isOn(): boolean {
    return this.picture?.loads.find(({ id }) => id === this.load)?.on.includes(this.state) ?? false;
  }

  pick(id: string | null): void {
    if (id !== this.picked) this.trial.forget();
    this.picked = id;
    const load = this.picture?.loads.find((one) => one.id === id);
    if (load?.on.includes(this.state)) void this.follow(load.id);
  }

  /** Asks how warm everything gets in this state, once. A card says less without it, and nothing wrong. */
  async warm(): Promise<void> {
    const { state, picture } = this;
    if (state === '' || this.#heats.has(state)) return;
    this.#heats = new Map([...this.#heats, [state, null]]);
    try {
      const { told } = await this.ask.ask('heat', { state, told: true });
      // Another file may lie on the bench by now.
      if (this.picture === picture) this.#heats = new Map([...this.#heats, [state, told ?? null]]);
    } catch {
      // Reports of older programs do not carry it; a program that is gone says so elsewhere.
    }
  }

  /** Asks for what the present view needs and does not have. */
  async #look(): Promise<void> {
    const { state, load } = this;
    if (state === '') return;
    try {
      this.trouble = null;
      if (!this.#solved.has(state)) {
        const { states, told } = await this.ask.ask('solve', { state, told: true });
        this.#solved = new Map([...this.#solved, ...states.map((one) => [one.state, one] as const)]);
        if (told) this.#said = new Map([...this.#said, ...states.map((one) => [one.state, told] as const)]);
      }
      const key = `${load}\u0000${state}`;
      if (load !== '' && !this.#budgets.has(key) && this.isOn) {
        const { states } = await this.ask.ask('budget', { load, state });
        this.#budgets = new Map([
          ...this.#budgets,
          ...states.map((one) => [`${load}\u0000${one.state}`, one] as const),
        ]);
      }
    } catch (cause) {
      this.trouble = cause instanceof Error ? cause.message : String(cause);
    }
  }
}

/** The state with most current: what people come for. */
/** The state that a person most likely wants to see: cranking or running, else the busiest one. */
function firstState(picture: Picture): string {
  const known = ['cranking', 'running'].find((id) => picture.states.some((state) => state.id === id));
  if (known !== undefined) return known;
  const busy = (id: string): number => picture.loads.filter(({ on }) => on.includes(id)).length;
  return [...picture.states].sort((a, b) => busy(b.id) - busy(a.id))[0]?.id ?? '';
}

function heaviest(picture: Picture, state: string): string {
  const on = picture.loads.filter((load) => load.on.includes(state));
  return (
    (
      on.find(({ kind }) => kind === 'starter') ??
      on.find(({ minimum_volts }) => minimum_volts !== null) ??
      on[0] ??
      picture.loads[0]
    )?.id ?? ''
  );
}
