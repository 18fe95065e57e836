/** Where answers come from: the running program, or the report that carries them. */
import type {
  Budgets,
  Check,
  Column,
  Diagnosed,
  Edited,
  FailureSurvey,
  GroundOffsets,
  Heat,
  JointSheet,
  NextReadings,
  Picture,
  ReadingPlan,
  Repairs,
  RouteList,
  Solved,
  Tidied,
  WhatIf,
} from './api/openapi';
import type { Told } from './told/told';

export type Checked = Check;

/** With `told` in the question, what is said of the answer is there too. */
export type Saying<Answer> = Answer & { readonly told?: Told };

export interface Answers {
  check: Check;
  picture: Picture;
  solve: Saying<Solved>;
  budget: Saying<Budgets>;
  routes: Saying<RouteList>;
  offsets: Saying<GroundOffsets>;
  'what-if': Saying<WhatIf>;
  column: Column;
  diagnose: Saying<Diagnosed>;
  /** With `plan` a plan, the next readings otherwise. */
  next: Partial<NextReadings & ReadingPlan>;
  repairs: Saying<Repairs>;
  failures: Saying<FailureSurvey>;
  heat: Saying<Heat>;
  bolt: JointSheet;
  tidy: Tidied;
  /** The file with changes written into it; nothing is stored. */
  edit: Edited;
}

export type Question = keyof Answers;

export interface Asked {
  readonly [key: string]: unknown;
}

/** How a question is waited for. */
export interface How {
  /** Stops it. */
  readonly signal?: AbortSignal;
  /** Is told the share that is done; null where it is not known. */
  readonly progress?: (done: number | null) => void;
}

export interface Ask {
  /** Puts a question; the subject is the opened vehicle. */
  ask<Q extends Question>(question: Q, asked: Asked, how?: How): Promise<Answers[Q]>;
}
