/** What the program keeps: vehicles, readings, work, photographs, devices. */
import type { Problem } from './types';

export interface VehicleRow {
  readonly id: number;
  readonly name: string;
  readonly revision: number;
  readonly changed: string;
  readonly by: string;
  readonly readings: number;
  readonly work: number;
  readonly photos: number;
  readonly removed: boolean;
}

export interface Vehicle {
  readonly id: number;
  readonly name: string;
  readonly revision: number;
  readonly text: string;
  readonly changed: string;
  readonly by: string;
  readonly what: string;
  readonly can_undo: boolean;
  readonly can_redo: boolean;
  readonly removed: boolean;
}

export interface Version {
  readonly revision: number;
  readonly text?: string;
  readonly when: string;
  readonly by: string;
  readonly what: string;
  readonly kind: 'import' | 'edit' | 'undo' | 'redo';
}

export interface Conflict {
  readonly base: Version | null;
  readonly theirs: Version;
  readonly yours: { readonly text: string; readonly what: string };
}

/** The request that takes an act back. */
export interface Undo {
  readonly method: 'POST' | 'PUT' | 'DELETE';
  readonly path: string;
  readonly body: unknown;
}

export type Measured =
  | { readonly volts: { readonly red: string; readonly black: string } }
  | { readonly amps: { readonly through: string } }
  | { readonly ohms: { readonly from: string; readonly to: string } }
  | { readonly jump_lead: { readonly from: string; readonly to: string; readonly load: string } }
  | { readonly moved: { readonly joint: string } };

export type Meaning =
  | {
      readonly kind: 'reading';
      readonly state: string;
      readonly measured: Measured;
      readonly told: string;
      readonly unit: string | null;
      readonly value: number | null;
      readonly warnings?: readonly Problem[];
    }
  | {
      readonly kind: 'worthless';
      readonly why: string;
      readonly instead: string;
      readonly warnings?: readonly Problem[];
    }
  | { readonly kind: 'unclear'; readonly problem: Problem | null; readonly warnings?: readonly Problem[] };

export interface Entry {
  readonly cid: string;
  readonly number: number | null;
  readonly text: string;
  readonly taken: string;
  readonly stored: string;
  readonly by: string;
  readonly retracted: boolean;
  /** Null while the vehicle file has an error. */
  readonly meaning: Meaning | null;
}

/** A whole file of readings, as it came in. */
export interface ReadingsFile {
  readonly id: string;
  readonly name: string;
  readonly entries: number;
  readonly retracted: boolean;
}

export interface ReadingsAnswer {
  readonly readings: readonly Entry[];
  readonly files: readonly ReadingsFile[];
  readonly problems: readonly Problem[];
}

export interface Work {
  readonly cid: string;
  readonly on: string;
  readonly what: string;
  readonly when?: string | null;
  readonly torque?: string | null;
  readonly protection?: string | null;
  readonly note?: string | null;
  readonly stored: string;
  readonly by: string;
  readonly retracted: boolean;
}

export interface Photo {
  readonly cid: string;
  readonly on: string | null;
  readonly work: string | null;
  readonly side: 'before' | 'after' | null;
  readonly caption: string | null;
  readonly type: string;
  readonly stored: string;
  readonly by: string;
  readonly retracted: boolean;
}

export type Role = 'look' | 'read' | 'edit' | 'desk';

export interface Me {
  readonly role: Role;
  readonly device: string | null;
  /** Name and version. */
  readonly program: string;
  readonly shared: boolean;
  readonly addresses: readonly string[];
  readonly now: string;
}
