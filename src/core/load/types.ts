import type { OutputStage } from './transmit-current.ts';

/** Behind the regulator, or straight on the cells. */
export type Supply = 'regulated' | 'battery';

/** One state of the load. Exactly one of `current_mA` and `power_mW`; of `duty` and `seconds_per_h` at most one. */
export interface LoadPart {
  readonly name: string;
  /** `'receive'` marks the receiver: it is off while the same radio transmits. */
  readonly kind?: string | undefined;
  /** Current while on: at the output of the regulator, or at the cells, mA. */
  readonly current_mA?: number | undefined;
  /** Power while on, mW, in place of a current. */
  readonly power_mW?: number | undefined;
  /** Share of the time it is on, 0..1; absent both: always on. */
  readonly duty?: number | undefined;
  readonly seconds_per_h?: number | undefined;
  /** Default `'regulated'`. */
  readonly supply?: Supply | undefined;
}

export interface TransmitInput {
  /** Current while sending, mA; absent: typical of `power_dBm`. */
  readonly current_mA?: number | undefined;
  readonly power_dBm?: number | undefined;
  /** See `typicalTransmit_mA`; default `'turned-down'`. */
  readonly stage?: OutputStage | undefined;
  /** Seconds on air in an hour. */
  readonly airtime_s_per_h: number;
  readonly supply?: Supply | undefined;
}

/** Regulator between the cells and the regulated parts. */
export interface Regulator {
  /** linear: input current is output current; switching: input power is output power over efficiency. */
  readonly type: 'linear' | 'switching';
  readonly output_V: number;
  /** Own current, drawn always, µA. */
  readonly quiescent_uA: number;
  /** Of a switching regulator, above 0 to 1; default 0.9 (typical, from memory). */
  readonly efficiency?: number | undefined;
}

export interface LoadInput {
  readonly parts?: readonly LoadPart[] | undefined;
  readonly transmit?: TransmitInput | undefined;
  /** Absent: every part hangs on the cells themselves. */
  readonly regulator?: Regulator | undefined;
  /** Measured current at the cells during a transmit pulse, mA: takes the place of the sum. */
  readonly transmitPeak_mA?: number | undefined;
  /** Current at the cells when the load comes back, mA; default: the peak. */
  readonly inrush_mA?: number | undefined;
}

/** What one state adds to the average. */
export interface LoadShare {
  readonly name: string;
  /** At the cells, at `REFERENCE_V`, mA. */
  readonly average_mA: number;
  /** Of the whole average, 0..1; the shares sum to 1. */
  readonly share: number;
}

/** A load in two parts: a current that does not depend on the cell voltage, and a power that does not: P = I·V + P0. */
export interface ComposedLoad {
  readonly constantCurrent_mA: number;
  readonly constantPower_mW: number;
  /** The same two parts with everything on at once and the radio sending: the pulse that the cut-off sees. */
  readonly peakCurrent_mA: number;
  readonly peakPower_mW: number;
  /** The pulse at the cells at `LOWEST_V`, mA; at another voltage `peak_mA_at`. */
  readonly peak_mA: number;
  /** Current at the cells when the load comes back, mA. */
  readonly inrush_mA: number;
  readonly parts: readonly LoadShare[];
  readonly notes: readonly string[];
}

/** A load known by its average. */
export interface AverageInput {
  readonly average_mA: number;
  /** Voltage to which `average_mA` belongs; absent: a constant current at the cells. */
  readonly voltage_V?: number | undefined;
  readonly transmitPeak_mA?: number | undefined;
  readonly inrush_mA?: number | undefined;
}

export const SECONDS_PER_HOUR = 3600;
