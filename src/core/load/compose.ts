import { UserError } from '../units/index.ts';
import { checkAverage, checkLoad } from './check.ts';
import { typicalTransmit_mA } from './transmit-current.ts';
import type { AverageInput, ComposedLoad, LoadInput, LoadPart, Regulator, Supply } from './types.ts';
import { SECONDS_PER_HOUR } from './types.ts';

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
export function averageLoad(input: AverageInput, field = 'load'): ComposedLoad {
  const problems = checkAverage(input, field);
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
