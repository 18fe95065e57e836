/** The answers of the program, as docs/json.md and docs/openapi.json say them. SI units; the key ends in the unit. */

export interface Problem {
  readonly code: string;
  readonly severity: 'error' | 'warning';
  readonly what: string;
  readonly line: number;
  readonly column: number;
  readonly expected: string | null;
  readonly hint: string | null;
}

export interface Flow {
  readonly amps: number;
  readonly volts: number;
  readonly watts: number;
  readonly ohms: number;
  readonly celsius?: number;
}

export type Mode = 'stopped' | 'idle' | 'regulating' | 'limited';
export type LoadStatus = 'off' | 'fed' | 'below-minimum' | 'dropped-out' | 'starved';

export interface LoadFlow {
  readonly amps: number;
  readonly volts: number;
  readonly margin_volts: number | null;
  readonly status: LoadStatus;
}

export interface SolvedState {
  readonly state: string;
  readonly points: Readonly<Record<string, { readonly volts: number | null }>>;
  readonly conductors: Readonly<Record<string, Flow>>;
  readonly joints: Readonly<Record<string, Flow>>;
  readonly stretches: Readonly<Record<string, Flow>>;
  readonly incidental: Readonly<Record<string, Flow>>;
  readonly inline: Readonly<Record<string, Flow>>;
  readonly batteries: Readonly<Record<string, { readonly amps: number; readonly volts: number }>>;
  readonly sources: Readonly<Record<string, { readonly amps: number; readonly volts: number; readonly mode: Mode }>>;
  readonly loads: Readonly<Record<string, LoadFlow>>;
  readonly found: boolean;
  readonly misses: { readonly at: string; readonly amps: number } | null;
}

export interface Term {
  readonly piece: string;
  readonly volts: number;
  readonly amps: number;
  readonly ohms: number;
  readonly share: number;
  readonly volts_per_ohm: number;
}

export interface Budget {
  readonly source: string;
  readonly source_volts: number;
  readonly load_volts: number;
  readonly load_amps: number;
  readonly feed_volts: number;
  readonly return_volts: number;
  readonly feed: readonly Term[];
  readonly return: readonly Term[];
}

export interface Route {
  readonly load: string | null;
  readonly amps: number;
  readonly share: number;
  readonly end: string;
  readonly pieces: readonly string[];
}

export interface Routes {
  readonly total_amps: number;
  readonly routes: readonly Route[];
}

export interface BudgetState {
  readonly state: string;
  readonly budget: Budget;
  readonly routes: Routes;
}

export interface Offset {
  readonly cause: string;
  readonly victim: string;
  readonly volts: number;
  readonly volts_per_amp: number;
  readonly blame: string | null;
  readonly blame_volts: number | null;
}

export interface Gain {
  readonly before_volts: number;
  readonly after_volts: number;
  readonly gain_volts: number;
  readonly before_amps: number;
  readonly after_amps: number;
}

export interface WhatIfState {
  readonly state: string;
  readonly loads: Readonly<Record<string, Gain>>;
  readonly after: SolvedState;
}

export interface Suspect {
  readonly kind: string;
  readonly id?: string;
  readonly from?: string;
  readonly to?: string;
  readonly probability: number;
  readonly ohms: number | null;
}

export interface WeighedReading {
  readonly number: number;
  readonly state: string;
  readonly value: number | null;
  readonly uncertainty: number;
  readonly sound: number;
  readonly explained: number;
  readonly residual: number;
}

export interface JointBelief {
  readonly median_ohms: number;
  readonly low_ohms: number;
  readonly high_ohms: number;
  readonly bad: number;
}

export interface Diagnosis {
  readonly nothing_bad: number;
  readonly suspects: readonly Suspect[];
  readonly inseparable: readonly (readonly string[])[];
  readonly take_again: readonly { readonly number: number; readonly probability: number }[];
  readonly readings: readonly WeighedReading[];
  readonly worthless: readonly { readonly number: number; readonly why: string; readonly instead: string }[];
  readonly kept: readonly { readonly number: number; readonly text: string }[];
  readonly problems: readonly Problem[];
  readonly joints: Readonly<Record<string, JointBelief>>;
}

export type Probe =
  | { readonly from: string; readonly to: string; readonly unit: 'V' }
  | { readonly through: string; readonly unit: 'A' };

export interface NextReading {
  readonly state: string;
  readonly reading: Probe;
  readonly sound: number;
  readonly seconds: number;
  readonly information: number;
}

export type Action =
  | { readonly clean: string }
  | { readonly replace: string }
  | { readonly add: { readonly from: string; readonly to: string; readonly metres: number; readonly ohms: number } };

export interface Repair {
  readonly action: Action;
  readonly load: string;
  readonly state: string;
  readonly gain_volts: number;
  readonly helps: number;
  readonly seconds: number;
  readonly gains: readonly {
    readonly load: string;
    readonly state: string;
    readonly volts: number;
    readonly after_volts: number;
  }[];
  readonly still_short: readonly { readonly load: string; readonly state: string; readonly volts: number }[];
}
