import type { Assumption } from '../core/energy/index.ts';
import {
  average_mA_at,
  average_mW_at,
  type CurrentLogSummary,
  LOWEST_V,
  REFERENCE_V,
  summariseCurrentLog,
} from '../core/load/index.ts';
import { readCurrentLog } from '../formats/current-log.ts';
import { readKitFile } from './inputs.ts';
import { loadOf } from './node-of.ts';
import type { Ports } from './ports.ts';

/** A kit, a log of measured current, or both. */
export interface LoadRequest {
  readonly kit?: string | undefined;
  readonly log?: string | undefined;
  readonly set?: readonly string[] | undefined;
}

/** The composed load of a kit. */
export interface KitLoad {
  readonly kit: string;
  /** Cell voltage to which the averages belong: 3.7 V, in plain mode the kit's constant voltage. */
  readonly voltage_V: number;
  readonly average_mA: number;
  readonly average_mW: number;
  readonly energy_Wh_day: number;
  /** The two parts of the load: a current and a power that do not change with the cell voltage. */
  readonly constantCurrent_mA: number;
  readonly constantPower_mW: number;
  readonly byVoltage: readonly { readonly voltage_V: number; readonly average_mA: number }[];
  /** Everything on at once and the radio sending, at 3 V. */
  readonly pulse_mA: number;
  readonly inrush_mA: number;
  readonly parts: readonly {
    readonly name: string;
    readonly average_mA: number;
    readonly share: number;
    readonly energy_Wh_day: number;
  }[];
}

/** A measured log. Intervals are of 95 %. */
export interface LogLoad extends Omit<CurrentLogSummary, 'average_mA' | 'low_mA' | 'high_mA' | 'states'> {
  readonly file: string;
  readonly average_mA: { readonly mean: number; readonly low: number; readonly high: number };
  /** Of the average, at 3.7 V. */
  readonly energy_Wh_day: number;
  readonly states: readonly (CurrentLogSummary['states'][number] & { readonly chargeShare: number })[];
  readonly notes: readonly string[];
}

/** Result of `sunperch load`; at least one of `load` and `log` is there. */
export interface LoadOutcome {
  readonly command: 'load';
  readonly load: KitLoad | null;
  readonly log: LogLoad | null;
  /** With both: the measured average over the composed one. */
  readonly measuredOverComposed: { readonly mean: number; readonly low: number; readonly high: number } | null;
  readonly assumptions: readonly Assumption[];
}

const VOLTAGES = [LOWEST_V, 3.3, REFERENCE_V, 4.1];
const HOURS_PER_DAY = 24;

/**
 * `sunperch load`: what a kit draws on average, by part and in the pulse, and what a measured log says.
 *
 * Throws RangeError when neither is named; UserError for whatever is wrong in the files.
 */
export async function load(ports: Ports, request: LoadRequest): Promise<LoadOutcome> {
  if (request.kit === undefined && request.log === undefined)
    throw new RangeError('load: a kit or a log must be named');
  const read = request.kit === undefined ? null : await readKitFile(ports, request.kit, request.set);
  const log = request.log === undefined ? null : readLog(await ports.readText(request.log), request.log);
  const mine = read === null ? null : kitLoad(read.kit);
  const ratio = (current_mA: number) => current_mA / mine!.average_mA;
  return {
    command: 'load',
    load: mine,
    log,
    measuredOverComposed:
      mine !== null && log !== null && mine.average_mA > 0
        ? { mean: ratio(log.average_mA.mean), low: ratio(log.average_mA.low), high: ratio(log.average_mA.high) }
        : null,
    assumptions: (read?.assumptions ?? []).filter(({ field }) => field.startsWith('kit.load')),
  };
}

function kitLoad(kit: Parameters<typeof loadOf>[0]): KitLoad {
  const composed = loadOf(kit);
  const voltage_V = kit.mode === 'plain' ? kit.cells.voltage_V : REFERENCE_V;
  const average_mA = average_mA_at(composed, voltage_V);
  const average_mW = average_mW_at(composed, voltage_V);
  return {
    kit: kit.name,
    voltage_V,
    average_mA,
    average_mW,
    energy_Wh_day: (average_mW * HOURS_PER_DAY) / 1000,
    constantCurrent_mA: composed.constantCurrent_mA,
    constantPower_mW: composed.constantPower_mW,
    byVoltage: VOLTAGES.map((v) => ({ voltage_V: v, average_mA: average_mA_at(composed, v) })),
    pulse_mA: composed.peak_mA,
    inrush_mA: composed.inrush_mA,
    parts: composed.parts.map(({ name, share }) => ({
      name,
      average_mA: share * average_mA,
      share,
      energy_Wh_day: (share * average_mW * HOURS_PER_DAY) / 1000,
    })),
  };
}

function readLog(text: string, file: string): LogLoad {
  const { time_s, current_mA, notes } = readCurrentLog(text, file);
  const { average_mA, low_mA, high_mA, states, ...rest } = summariseCurrentLog(time_s, current_mA);
  return {
    file,
    ...rest,
    average_mA: { mean: average_mA, low: low_mA, high: high_mA },
    energy_Wh_day: (average_mA * REFERENCE_V * HOURS_PER_DAY) / 1000,
    states: states.map((state) => ({
      ...state,
      chargeShare: rest.charge_mAh !== 0 ? state.charge_mAh / rest.charge_mAh : 0,
    })),
    notes,
  };
}
