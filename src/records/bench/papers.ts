/** What the bench's papers say: plain values, as JSON has them. Keys and other secrets have no place in any of them. */

/** Share of a code that may be damaged: about 7, 15, 25 and 30 % (ISO/IEC 18004). */
export type QrLevel = 'L' | 'M' | 'Q' | 'H';

export interface Label {
  /** What the code says: an address or plain text; see `codeText`. */
  readonly code: string;
  /** As people read it. */
  readonly serial: string;
  /** Kit, revision and the like, one line each. */
  readonly lines: readonly string[];
  readonly caution: string;
}

/** A verdict on paper is a word, never a colour alone. */
export type GateVerdict = 'passed' | 'failed' | 'undecided' | 'not done' | 'overridden';

export interface CertificateGate {
  readonly name: string;
  /** Limits in words with their unit: `at most 12 µA`, `3.0 to 3.2 V`. */
  readonly limits: string;
  /** As measured, with unit; empty when it was not. */
  readonly value: string;
  readonly verdict: GateVerdict;
  readonly instrument: string;
  readonly person: string;
  /** ISO 8601 day. */
  readonly day: string;
  /** For `overridden`: who let it pass and why. */
  readonly override?: { readonly person: string; readonly reason: string };
  /** Earlier tries that failed and what was done. */
  readonly rework?: string;
}

export interface Certificate {
  readonly serial: string;
  readonly kit: string;
  readonly revision: string;
  readonly batch: string;
  readonly maker: string;
  /** Radio settings, firmware and the like: name and value. Never a key. */
  readonly facts: readonly (readonly [string, string])[];
  readonly gates: readonly CertificateGate[];
  readonly cautions: readonly string[];
}

export interface QuickStart {
  readonly kit: string;
  readonly revision: string;
  readonly maker: string;
  /** Where help is found, in the maker's words; may be empty. */
  readonly contact: string;
  readonly cells: { readonly count: number; readonly nominal_V: number; readonly capacity_mAh: number };
  readonly panel_W: number;
  /** Below this temperature of the cells it does not charge; null where the charger does not stop in the cold. */
  readonly chargeStops_degC: number | null;
  /** True where the panel feeds the radio meanwhile. */
  readonly panelFeeds: boolean;
  /** Position of the panel by the customer's hemisphere: the way it faces, and its tilt. */
  readonly panelFaces: 'south' | 'north';
  readonly tilt_deg: number;
  /** True where cells travel apart and are put in by the customer. */
  readonly cellsApart: boolean;
  readonly radio: {
    readonly region: string;
    readonly frequency_MHz: number;
    readonly setting: string;
    readonly power_dBm: number;
    readonly antennaGain_dBi: number;
    /** Lines on the region's limits, as `limits` tells them, with the day of the table. */
    readonly limits: readonly string[];
    readonly read: string;
  };
}

export interface Carton {
  readonly maker: string;
  readonly address: readonly string[];
  readonly kit: string;
  readonly units: number;
  readonly cellsPerUnit: number;
  readonly nominal_V: number;
  readonly capacity_mAh: number;
  /** Of this consignment. */
  readonly packages: number;
  /** Cells in the equipment, beside it in the box, or without it. */
  readonly packing: 'contained' | 'with equipment' | 'alone';
  readonly stateOfCharge?: number;
  /** ISO 8601: rules and their terms are told as of this day. */
  readonly day: string;
}

export interface PackingList {
  readonly number: string;
  readonly maker: string;
  readonly address: readonly string[];
  readonly customer: readonly string[];
  readonly day: string;
  readonly lines: readonly { readonly what: string; readonly count: number; readonly serials: readonly string[] }[];
  readonly notes: readonly string[];
  readonly cautions: readonly string[];
}
