/** What the plan needs to know of a vehicle: the answer of `picture`. */
import type { Problem } from './types';

export interface PicturePoint {
  readonly id: string;
  readonly owner: 'free' | 'structure' | 'positive' | 'negative';
  readonly structure: string | null;
  readonly device: string | null;
  readonly forward: number;
  readonly left: number;
  readonly placed: boolean;
  readonly reachable: boolean;
  readonly reach_seconds: number | null;
  readonly cover: string | null;
  readonly note?: string | null;
}

export type Family = 'feed' | 'return' | 'other';

export interface PictureConductor {
  readonly id: string;
  readonly from: string;
  readonly to: string;
  readonly from_joint: string | null;
  readonly to_joint: string | null;
  readonly kind: string;
  readonly size: string | null;
  readonly square_metres?: number | null;
  readonly material?: string | null;
  readonly insulation?: string | null;
  readonly metres: number | null;
  readonly family: Family;
  readonly ohms: number;
  readonly on_diagram: boolean;
  readonly note?: string | null;
}

export interface PictureJoint {
  readonly id: string;
  readonly point: string;
  readonly conductor: string | null;
  readonly device: string | null;
  readonly kind: string;
  readonly ohms: number;
  readonly stated: boolean;
  readonly torque_newton_metres: number | null;
  readonly thread?: string | null;
  readonly finish?: string | null;
  readonly protection?: string | null;
  readonly serviced?: string | null;
  readonly note?: string | null;
}

/** The answer: what is wrong with the file, and the drawing where it can be drawn. */
export interface PictureAnswer {
  readonly problems: readonly Problem[];
  readonly drawing: Picture | null;
}

export interface Picture {
  readonly name: string;
  readonly earth: 'negative' | 'positive';
  readonly nominal_volts: number;
  readonly points: readonly PicturePoint[];
  readonly structures: readonly {
    readonly id: string;
    readonly name: string;
    readonly material: string;
    readonly points: readonly string[];
  }[];
  readonly stretches: readonly {
    readonly id: string;
    readonly structure: string;
    readonly from: string;
    readonly to: string;
    readonly ohms: number;
  }[];
  readonly conductors: readonly PictureConductor[];
  readonly joints: readonly PictureJoint[];
  readonly incidental: readonly {
    readonly id: string;
    readonly kind: string;
    readonly from: string;
    readonly to: string;
    readonly ohms: number;
    readonly damage_amps: number | null;
  }[];
  readonly inline: readonly {
    readonly id: string;
    readonly make: string;
    readonly from: string;
    readonly to: string;
    readonly ohms: number;
    readonly rating_amps?: number | null;
    readonly family: Family;
  }[];
  readonly batteries: readonly PictureDevice[];
  readonly sources: readonly PictureDevice[];
  readonly loads: readonly PictureLoad[];
  readonly states: readonly { readonly id: string; readonly name: string; readonly seconds: number | null }[];
  readonly covers?: readonly { readonly id: string; readonly name: string; readonly seconds: number }[];
}

export interface PictureDevice {
  readonly id: string;
  readonly positive: string;
  readonly negative: string;
}

export interface PictureLoad extends PictureDevice {
  readonly name: string;
  readonly kind: string;
  readonly on: readonly string[];
  readonly minimum_volts: number | null;
}

export interface Column {
  readonly state: string;
  readonly piece: string | null;
  readonly between: readonly [string, string];
  readonly points: readonly string[];
  readonly volts: readonly (number | null)[];
  readonly column: readonly (number | null)[];
  readonly across_volts: number;
  readonly own_ohms: number;
  readonly branch_ohms: number | null;
  readonly piece_ohms: number;
}
