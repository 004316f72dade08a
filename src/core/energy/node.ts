import {
  bankTables,
  type CellBank,
  type CellTables,
  constantVoltageTables,
  resistance_Ohm,
  selfDischarge_per_h,
  stateOfCharge,
  usableShare,
} from '../cells/index.ts';
import { type BalanceModel, COLDEST_degC, energyAt, TEMPERATURE_STEPS } from './balance.ts';

/** Where charging stops. */
export type CeilingSpec = { readonly soc: number } | { readonly voltage_V: number };

/** When the load goes off and on again. */
export type CutoffSpec =
  | { readonly kind: 'soc'; readonly cutoff: number; readonly reconnect: number }
  | { readonly kind: 'voltage'; readonly cutoff_V: number; readonly reconnect_V: number }
  | {
      readonly kind: 'none';
      readonly brownout_V: number;
      /** Does the board come back by itself, and at which rested voltage? */
      readonly restarts: boolean;
      readonly restart_V: number;
    };

/** A node apart from its panel: what the balance needs, in plain numbers. */
export interface NodeSpec {
  readonly cells:
    | { readonly kind: 'bank'; readonly bank: CellBank }
    /** Plain mode: constant voltage, no loss, no temperature effect. */
    | { readonly kind: 'plain'; readonly voltage_V: number; readonly capacity_Ah: number };
  readonly ceiling: CeilingSpec;
  readonly cutoff: CutoffSpec;
  readonly chargeMin_degC: number;
  readonly chargeMax_degC: number;
  readonly powerPath: boolean;
  readonly coldLockout: boolean;
  readonly ownUse_A: number;
  /** Largest output current of the charger, A. */
  readonly outputLimit_A: number;
  /** Share of its output that the charger lets through at a temperature (derating when hot), 0..1. */
  readonly outputShare: (temperature_degC: number) => number;
  readonly loadCurrent_A: number;
  readonly loadPower_W: number;
  /** Current drawn from the cells during a transmit pulse, A. */
  readonly pulse_A: number;
  /** Current at the moment of restart, A. */
  readonly inrush_A: number;
}

const overTemperature = (f: (temperature_degC: number) => number): Float64Array =>
  Float64Array.from({ length: TEMPERATURE_STEPS }, (_, k) => f(COLDEST_degC + k));

/**
 * Stored energy at which the terminal voltage under `current_A` equals `threshold_V`, by temperature. The needed
 * open-circuit voltage is V* = threshold + I·R(T); the energy that the cold keeps back comes on top. Infinity where even
 * full cells do not show that voltage under that current: such a node never (re)starts at that temperature.
 */
export function thresholdEnergy_Wh(
  tables: CellTables,
  withheld: Float64Array,
  resistance: Float64Array,
  threshold_V: number,
  current_A: number,
): Float64Array {
  const grid = tables.voltageByEnergy;
  const last = grid.length - 1;
  return Float64Array.from(withheld, (kept, k) => {
    const needed = threshold_V + current_A * resistance[k]!;
    if (needed > grid[last]!) return Number.POSITIVE_INFINITY;
    let low = 0;
    let high = last;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (grid[middle]! < needed) low = middle;
      else high = middle;
    }
    const rise = grid[high]! - grid[low]!;
    const part = rise > 0 ? Math.min(Math.max((needed - grid[low]!) / rise, 0), 1) : 0;
    const share = (low + part) / last;
    return (share * (1 - kept) + kept) * tables.energyFull_Wh;
  });
}

/** Builds the tables of the hourly balance from a node's description. */
export function buildNode(spec: NodeSpec): BalanceModel {
  const { cells } = spec;
  const bank = cells.kind === 'bank' ? cells.bank : null;
  const tables =
    cells.kind === 'bank' ? bankTables(cells.bank) : constantVoltageTables(cells.voltage_V, cells.capacity_Ah);
  const withheldShare = overTemperature((t) => (bank ? 1 - usableShare(t) : 0));
  const resistance = overTemperature((t) => (bank ? resistance_Ohm(bank, t) : 0));
  const full = tables.energyFull_Wh;
  const constant = (energy_Wh: number) => overTemperature(() => energy_Wh);
  const at = (soc: number) => energyAt({ socByEnergy: tables.socByEnergy, energyFull_Wh: full }, soc);
  const under = (voltage_V: number, current_A: number) =>
    thresholdEnergy_Wh(tables, withheldShare, resistance, voltage_V, current_A);

  const { ceiling, cutoff } = spec;
  const ceilingSoc = 'soc' in ceiling ? ceiling.soc : bank ? stateOfCharge(bank.table, ceiling.voltage_V) : 1;
  let thresholds: Pick<BalanceModel, 'cutoff_Wh' | 'reconnect_Wh' | 'restart_Wh' | 'locksUp'>;
  if (cutoff.kind === 'soc') {
    thresholds = {
      cutoff_Wh: constant(at(cutoff.cutoff)),
      reconnect_Wh: constant(at(cutoff.reconnect)),
      restart_Wh: constant(0),
      locksUp: false,
    };
  } else {
    const off_V = cutoff.kind === 'voltage' ? cutoff.cutoff_V : cutoff.brownout_V;
    const on_V = cutoff.kind === 'voltage' ? cutoff.reconnect_V : cutoff.restart_V;
    thresholds = {
      cutoff_Wh: under(off_V, spec.pulse_A),
      reconnect_Wh: under(on_V, 0),
      restart_Wh: under(off_V, Math.max(spec.inrush_A, spec.pulse_A)),
      locksUp: cutoff.kind === 'none' && !cutoff.restarts,
    };
  }
  const last = tables.voltageByEnergy.length - 1;
  return {
    energyFull_Wh: full,
    voltageByEnergy: tables.voltageByEnergy,
    socByEnergy: tables.socByEnergy,
    withheldShare,
    stretch: Float64Array.from(withheldShare, (kept) => last / (1 - kept)),
    resistance_Ohm: resistance,
    selfDischarge_per_h: overTemperature((t) => (bank ? selfDischarge_per_h(bank, t) : 0)),
    outputLimit_A: spec.outputLimit_A,
    outputShare: overTemperature(spec.outputShare),
    chargeLossShare: bank ? 1 - bank.coulombicEfficiency : 0,
    ceiling_Wh: at(ceilingSoc),
    ceiling_V: 'voltage_V' in ceiling && bank ? ceiling.voltage_V : Number.POSITIVE_INFINITY,
    chargeMin_degC: spec.chargeMin_degC,
    chargeMax_degC: spec.chargeMax_degC,
    powerPath: spec.powerPath,
    coldLockout: spec.coldLockout,
    ownUse_A: spec.ownUse_A,
    loadCurrent_A: spec.loadCurrent_A,
    loadPower_W: spec.loadPower_W,
    ...thresholds,
  };
}
