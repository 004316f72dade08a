import type { Problem } from '../units/index.ts';
import { UserError } from '../units/index.ts';
import type { OutputStage } from './transmit-current.ts';
import { typicalTransmit_mA } from './transmit-current.ts';

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

/** Cell voltage at which averages of constant-power loads are told as currents, V. */
export const REFERENCE_V = 3.7;
/** Cell voltage at which the pulse is told: near the usual cut-off, where it matters most, V. */
export const LOWEST_V = 3;

/** Current at the cells for a cell voltage, mA, averaged over time. */
export function average_mA_at(load: ComposedLoad, voltage_V: number): number {
  return load.constantCurrent_mA + load.constantPower_mW / voltage_V;
}

/** Current at the cells during the transmit pulse, mA. */
export function peak_mA_at(load: ComposedLoad, voltage_V: number): number {
  return load.peakCurrent_mA + load.peakPower_mW / voltage_V;
}

/** Average power taken from the cells, mW. */
export function average_mW_at(load: ComposedLoad, voltage_V: number): number {
  return load.constantCurrent_mA * voltage_V + load.constantPower_mW;
}

interface TwoPart {
  readonly current_mA: number;
  readonly power_mW: number;
}

/** A current or power behind its supply, as the cells see it. */
function atCells(
  draw: { current_mA?: number | undefined; power_mW?: number | undefined; supply?: Supply | undefined },
  regulator: Regulator | undefined,
): TwoPart {
  const { current_mA, power_mW } = draw;
  if (regulator === undefined || draw.supply === 'battery')
    return { current_mA: current_mA ?? 0, power_mW: power_mW ?? 0 };
  if (regulator.type === 'linear')
    return { current_mA: current_mA ?? (power_mW ?? 0) / regulator.output_V, power_mW: 0 };
  const output_mW = power_mW ?? (current_mA ?? 0) * regulator.output_V;
  return { current_mA: 0, power_mW: output_mW / (regulator.efficiency ?? 0.9) };
}

const SECONDS_PER_HOUR = 3600;
const dutyOf = (part: LoadPart) =>
  part.duty ?? (part.seconds_per_h === undefined ? 1 : part.seconds_per_h / SECONDS_PER_HOUR);

/**
 * Adds up a load from its states: each counts with its share of time, through its supply. A receiver is off while the
 * radio sends. The pulse takes everything that is ever on as on together (the safe side), save the receiver.
 *
 * Valid while the cells stay above the regulator's output; below it a linear regulator's output sags and the true draw
 * is a little less. Checked by arithmetic only; efficiency is taken as one figure for all currents.
 *
 * @throws UserError naming every part that has no or two draws, a negative value, a duty outside 0..1, more than 3,600
 * seconds in an hour, or a regulator out of range; also for a load without any state.
 */
export function composeLoad(input: LoadInput, field = 'load'): ComposedLoad {
  const problems = checkLoad(input, field);
  if (problems.length > 0) throw new UserError(problems);
  const { regulator, transmit } = input;
  const notes: string[] = [];
  const airShare = (transmit?.airtime_s_per_h ?? 0) / SECONDS_PER_HOUR;
  const states: { name: string; draw: TwoPart; duty: number; inPeak: boolean }[] = [];
  for (const part of input.parts ?? []) {
    const receiver = part.kind === 'receive' && airShare > 0;
    const duty = receiver ? Math.min(dutyOf(part), 1 - airShare) : dutyOf(part);
    states.push({ name: part.name, draw: atCells(part, regulator), duty, inPeak: !receiver && duty > 0 });
  }
  if (transmit !== undefined) {
    let { current_mA } = transmit;
    if (current_mA === undefined) {
      current_mA = typicalTransmit_mA(transmit.power_dBm ?? 22, transmit.stage, `${field}.transmit.power_dBm`);
      notes.push(`transmit current ${round(current_mA)} mA: typical of ${transmit.power_dBm} dBm, not measured`);
    }
    const draw = atCells({ current_mA, supply: transmit.supply }, regulator);
    states.push({ name: 'transmit', draw, duty: airShare, inPeak: airShare > 0 });
  }
  if (regulator !== undefined) {
    const draw = { current_mA: regulator.quiescent_uA / 1000, power_mW: 0 };
    states.push({ name: 'regulator', draw, duty: 1, inPeak: true });
    if (regulator.type === 'switching' && regulator.efficiency === undefined)
      notes.push('regulator efficiency 0.9: typical, not measured');
  }

  const constant = sum(states.map((s) => scale(s.draw, s.duty)));
  const peak =
    input.transmitPeak_mA === undefined
      ? sum(states.filter((s) => s.inPeak).map((s) => s.draw))
      : { current_mA: input.transmitPeak_mA, power_mW: 0 };
  const whole_mA = constant.current_mA + constant.power_mW / REFERENCE_V;
  const peak_mA = peak.current_mA + peak.power_mW / LOWEST_V;
  return {
    constantCurrent_mA: constant.current_mA,
    constantPower_mW: constant.power_mW,
    peakCurrent_mA: peak.current_mA,
    peakPower_mW: peak.power_mW,
    peak_mA,
    inrush_mA: input.inrush_mA ?? peak_mA,
    parts: states.map(({ name, draw, duty }) => {
      const average_mA = duty * (draw.current_mA + draw.power_mW / REFERENCE_V);
      return { name, average_mA, share: whole_mA > 0 ? average_mA / whole_mA : 0 };
    }),
    notes,
  };
}

/** A load known by its average only: a constant current at the cells, or a constant power where a voltage goes with it. */
export function averageLoad(
  input: {
    readonly average_mA: number;
    /** Voltage to which `average_mA` belongs; absent: a constant current at the cells. */
    readonly voltage_V?: number | undefined;
    readonly transmitPeak_mA?: number | undefined;
    readonly inrush_mA?: number | undefined;
  },
  field = 'load',
): ComposedLoad {
  const problems: Problem[] = [];
  for (const name of ['average_mA', 'transmitPeak_mA', 'inrush_mA'] as const)
    refuse(problems, input[name], 0, Number.MAX_VALUE, name, `${field}.${name}`);
  refuse(problems, input.voltage_V, 0.5, 100, 'voltage_V', `${field}.voltage_V`);
  if (problems.length > 0) throw new UserError(problems);
  const { average_mA, voltage_V } = input;
  const constant =
    voltage_V === undefined
      ? { current_mA: average_mA, power_mW: 0 }
      : { current_mA: 0, power_mW: average_mA * voltage_V };
  const peak = input.transmitPeak_mA === undefined ? constant : { current_mA: input.transmitPeak_mA, power_mW: 0 };
  const peak_mA = peak.current_mA + peak.power_mW / LOWEST_V;
  return {
    constantCurrent_mA: constant.current_mA,
    constantPower_mW: constant.power_mW,
    peakCurrent_mA: peak.current_mA,
    peakPower_mW: peak.power_mW,
    peak_mA,
    inrush_mA: input.inrush_mA ?? peak_mA,
    parts: [{ name: 'average', average_mA: constant.current_mA + constant.power_mW / REFERENCE_V, share: 1 }],
    notes: input.transmitPeak_mA === undefined ? ['no transmit pulse given: the average stands for it'] : [],
  };
}

const scale = (draw: TwoPart, by: number): TwoPart => ({
  current_mA: draw.current_mA * by,
  power_mW: draw.power_mW * by,
});
const sum = (draws: readonly TwoPart[]): TwoPart => ({
  current_mA: draws.reduce((total, d) => total + d.current_mA, 0),
  power_mW: draws.reduce((total, d) => total + d.power_mW, 0),
});
const round = (value: number) => Number(value.toPrecision(3));

function refuse(
  problems: Problem[],
  value: number | undefined,
  low: number,
  high: number,
  name: string,
  field: string,
): void {
  if (value === undefined || (value >= low && value <= high)) return;
  const range = high === Number.MAX_VALUE ? `${low} or more` : `between ${low} and ${high}`;
  problems.push({ code: 'load-range', message: `${name} is ${value}: it must be ${range}.`, place: { field } });
}

function checkLoad(input: LoadInput, field: string): Problem[] {
  const problems: Problem[] = [];
  const any = Number.MAX_VALUE;
  const parts = input.parts ?? [];
  if (parts.length === 0 && input.transmit === undefined)
    problems.push({
      code: 'load-empty',
      message: 'the load has no part: give average_mA, or parts and transmit.',
      place: { field },
    });
  parts.forEach((part, i) => {
    const at = `${field}.parts[${i}]`;
    const draws = [part.current_mA, part.power_mW].filter((value) => value !== undefined).length;
    if (draws !== 1)
      problems.push({
        code: 'load-draw',
        message: `${part.name} has ${draws === 0 ? 'neither current_mA nor power_mW' : 'both current_mA and power_mW'}: give one of them.`,
        place: { field: at },
      });
    if (part.duty !== undefined && part.seconds_per_h !== undefined)
      problems.push({
        code: 'load-duty-twice',
        message: `${part.name} has both duty and seconds_per_h: give one of them.`,
        place: { field: at },
      });
    refuse(problems, part.current_mA, 0, any, 'current_mA', `${at}.current_mA`);
    refuse(problems, part.power_mW, 0, any, 'power_mW', `${at}.power_mW`);
    refuse(problems, part.duty, 0, 1, 'duty', `${at}.duty`);
    refuse(problems, part.seconds_per_h, 0, SECONDS_PER_HOUR, 'seconds_per_h', `${at}.seconds_per_h`);
  });
  const { transmit, regulator } = input;
  if (transmit !== undefined) {
    const at = `${field}.transmit`;
    refuse(problems, transmit.airtime_s_per_h, 0, SECONDS_PER_HOUR, 'airtime_s_per_h', `${at}.airtime_s_per_h`);
    refuse(problems, transmit.current_mA, 0, any, 'current_mA', `${at}.current_mA`);
    if (transmit.current_mA === undefined && transmit.power_dBm === undefined)
      problems.push({
        code: 'load-draw',
        message: 'transmit has neither current_mA nor power_dBm: give one of them.',
        place: { field: at },
      });
  }
  if (regulator !== undefined) {
    const at = `${field}.regulator`;
    refuse(problems, regulator.output_V, 0.5, 60, 'output_V', `${at}.output_V`);
    refuse(problems, regulator.quiescent_uA, 0, any, 'quiescent_uA', `${at}.quiescent_uA`);
    refuse(problems, regulator.efficiency, 0.05, 1, 'efficiency', `${at}.efficiency`);
  }
  refuse(problems, input.transmitPeak_mA, 0, any, 'transmitPeak_mA', `${field}.transmitPeak_mA`);
  refuse(problems, input.inrush_mA, 0, any, 'inrush_mA', `${field}.inrush_mA`);
  return problems;
}
