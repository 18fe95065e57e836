/** What a report carries: the answers that the program gave when it was made. */

import type { Entry, Proof, Work } from '../lib/api/garage';
import type { Column, PictureAnswer } from '../lib/api/picture';
import type { BudgetState, Diagnosis, NextReading, Repair, SolvedState } from '../lib/api/types';
import type { Answers, Ask, Asked, Question, Saying } from '../lib/ask';
import type { Units } from '../lib/quantity/format';
import type { Told } from '../lib/told/told';
import type { Region } from '../lib/words';
import { type Written, whole } from './once';

export interface Blob {
  readonly format: 1;
  readonly made: {
    readonly program: string;
    readonly version: string;
    readonly when: string;
    readonly file: string | null;
    readonly revision?: number;
    readonly sha256: string | null;
  };
  readonly notes: 'left out' | 'included';
  readonly show?: {
    readonly view?: string | null;
    readonly units?: Units;
    readonly region?: Region;
    readonly paper?: 'A4' | 'Letter';
  };
  readonly answers: {
    readonly check: Answers['check'];
    readonly picture: PictureAnswer;
    readonly solve: Saying<{ readonly states: readonly SolvedState[] }>;
    readonly budget: Readonly<Record<string, { readonly states: readonly BudgetState[] }>>;
    readonly diagnose?: Saying<Diagnosis> | null;
    readonly next?: { readonly next?: readonly NextReading[] } | null;
    readonly plan?: { readonly plan?: readonly NextReading[] } | null;
    readonly repairs?: Saying<{ readonly repairs: readonly Repair[] }> | null;
    readonly failures?: Answers['failures'] | null;
    /** By state: what stands on the cards of conductors and joints. */
    readonly heat?: Readonly<Record<string, { readonly told?: Told }>>;
    readonly columns?: readonly Column[];
    /** What is said: of circuits by load and state, of lifted grounds by state. */
    readonly told?: {
      readonly budget: Readonly<Record<string, Readonly<Record<string, Told>>>>;
      readonly offsets: Readonly<Record<string, Told>>;
    };
  };
  readonly readings?: readonly Entry[];
  readonly work?: readonly Work[];
  readonly proofs?: readonly Proof[];
  readonly photos?: readonly {
    readonly on: string | null;
    readonly side: string | null;
    readonly caption: string | null;
    readonly data: string;
  }[];
  readonly text?: string | null;
}

/** Answers from the page itself; what was not put in is said so. */
export class BlobAsk implements Ask {
  readonly #blob: Blob;

  constructor(blob: Blob) {
    this.#blob = blob;
  }

  ask<Q extends Question>(question: Q, asked: Asked): Promise<Answers[Q]> {
    const answer = this.#answer(question, asked);
    if (answer === undefined || answer === null) {
      return Promise.reject(new Error('this report does not carry that answer; open the vehicle in the program'));
    }
    return Promise.resolve(answer as Answers[Q]);
  }

  #answer(question: Question, asked: Asked): unknown {
    const { answers } = this.#blob;
    switch (question) {
      case 'budget': {
        const [load, state] = [String(asked['load']), String(asked['state'])];
        const states = (answers.budget[load]?.states ?? []).filter((own) => own.state === state);
        return { load, states, told: answers.told?.budget[load]?.[state] };
      }
      case 'offsets':
        return { states: [], told: answers.told?.offsets[String(asked['state'])] };
      case 'column':
        return answers.columns?.find(({ piece, state }) => piece === asked['piece'] && state === asked['state']);
      case 'heat':
        return answers.heat?.[String(asked['state'])];
      case 'routes':
      case 'bolt':
      case 'what-if':
      case 'tidy':
      case 'edit':
        return undefined;
      case 'next':
        return asked['plan'] === undefined ? answers.next : answers.plan;
      default:
        return answers[question];
    }
  }
}

/** Reads the blob that the program put into the page. */
export function readBlob(document: Document): Blob | null {
  const text = document.getElementById('groundloom-report')?.textContent ?? 'null';
  return whole(JSON.parse(text) as Written | null) as Blob | null;
}
