/** Where answers come from: the running program, or the report that carries them. */
import type { Column, PictureAnswer } from './api/picture';
import type {
  BudgetState,
  Diagnosis,
  NextReading,
  Offset,
  Problem,
  Repair,
  Routes,
  SolvedState,
  WhatIfState,
} from './api/types';

export interface Checked {
  readonly problems: readonly Problem[];
  readonly errors: number;
  readonly warnings: number;
  readonly filled: readonly { readonly key: string; readonly value: string; readonly why: string }[] | null;
}

export interface Answers {
  check: Checked;
  picture: PictureAnswer;
  solve: { readonly states: readonly SolvedState[] };
  budget: { readonly load: string; readonly states: readonly BudgetState[] };
  routes: { readonly states: readonly { readonly state: string; readonly routes: Routes }[] };
  offsets: { readonly states: readonly { readonly state: string; readonly offsets: readonly Offset[] }[] };
  'what-if': { readonly states: readonly WhatIfState[] };
  column: Column;
  diagnose: Diagnosis;
  next: {
    readonly next?: readonly NextReading[];
    readonly plan?: readonly NextReading[];
    readonly problems: readonly Problem[];
  };
  repairs: { readonly repairs: readonly Repair[]; readonly problems: readonly Problem[] };
  failures: FailuresAnswer;
  tidy: { readonly text: string; readonly tidy: boolean };
}

/** One thing opened or worn, and what follows. */
export interface Failure {
  readonly piece: string;
  readonly how: string;
  readonly state: string;
  readonly lost: readonly { readonly load: string; readonly volts: number; readonly status: string }[];
  readonly burns: readonly {
    readonly piece: string;
    readonly amps: number;
    readonly seconds: number | null;
    readonly ends: string;
  }[];
}

export interface FailuresAnswer {
  readonly failures: readonly Failure[];
}

export type Question = keyof Answers;

export interface Asked {
  readonly [key: string]: unknown;
}

export interface Ask {
  /** Puts a question; the subject is the opened vehicle. */
  ask<Q extends Question>(question: Q, asked: Asked, signal?: AbortSignal): Promise<Answers[Q]>;
}
