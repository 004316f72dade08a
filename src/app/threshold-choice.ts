import { openCircuit_V, resistance_Ohm, stateOfCharge } from '../core/cells/index.ts';
import type { NodeSpec } from '../core/energy/node.ts';
import { userError } from '../core/units/index.ts';
import type { Kit } from '../records/index.ts';
import { bankOf, type CellAge, nodeOf, ocvOf } from './node-of.ts';
import { kitPower_W } from './panels.ts';

/** Three voltages at the cells that a maker sets: where charging stops, where the load goes off, and on again. */
export interface Choice {
  readonly ceiling_V: number;
  readonly cutoff_V: number;
  readonly reconnect_V: number;
}

/** Ceilings that are tried, as states of charge; the kit's own comes on top. */
const CEILINGS_soc = [0.8, 0.85, 0.9, 0.95, 1];
/** Cut-offs that are tried for the two tables of NMC cells, V, under the transmit pulse. */
const CUTOFFS_V = [3, 3.05, 3.1, 3.15, 3.2, 3.25, 3.3, 3.35, 3.4, 3.45, 3.5];
/** For a table of one's own: cut-offs at these states of charge. */
const CUTOFFS_soc = [0.02, 0.05, 0.08, 0.1, 0.15, 0.2, 0.25, 0.3];
/** Reconnect above cut-off, V. */
const GAPS_V = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6];
/** Below this rested voltage an NMC cell begins to suffer: 2.8 to 3.0 V, from memory; the careful end is taken. */
const DAMAGE_V = 3;
/** Age of the cells in the worst corner, years. */
export const CORNER_AGE_years = 8;
/** Tolerance and drift of thresholds where the kit is silent, as the kit's schema says. */
const DEFAULT_TOLERANCE_mV = 40;
const DEFAULT_DRIFT_uV_K = 200;
/**
 * Room kept on top of all counted corners, V: the voltage of a cell creeps up for minutes to hours after its load has
 * gone, which the model leaves out (judgement).
 */
export const RESERVE_V = 0.05;

const to = (step: number) => (value: number) => Number((Math.round(value / step) * step).toFixed(3));
/** Ceilings are given to 5 mV: near full an NMC811 cell passes 5 % of its charge within 20 mV. */
const to5mV = to(0.005);
const to10mV = to(0.01);
const to1mV = to(0.001);

/** The kit's own three voltages; `null` where it has no cut-off. Thresholds as states of charge become rested voltages. */
export function ownChoice(kit: Kit): Choice | null {
  const { cutoff_V, reconnect_V, cutoff_soc, reconnect_soc } = kit.cutoff;
  const table = ocvOf(kit);
  const ceiling_V = ownCeiling_V(kit);
  if (cutoff_V !== undefined && reconnect_V !== undefined) return { ceiling_V, cutoff_V, reconnect_V };
  if (cutoff_soc === undefined || reconnect_soc === undefined) return null;
  return {
    ceiling_V,
    cutoff_V: to10mV(openCircuit_V(table, cutoff_soc)),
    reconnect_V: to10mV(openCircuit_V(table, reconnect_soc)),
  };
}

function ownCeiling_V(kit: Kit): number {
  const { ceiling_V, ceiling_soc } = kit.charger;
  return ceiling_V ?? to5mV(openCircuit_V(ocvOf(kit), ceiling_soc ?? 1));
}

/** All choices that are tried, the kit's own included, ascending; reconnect lies below the ceiling in each. */
export function choicesOf(kit: Kit): Choice[] {
  const table = ocvOf(kit);
  const own = ownChoice(kit);
  const ownTop_V = ownCeiling_V(kit);
  const ownSoc = stateOfCharge(table, ownTop_V);
  const ceilings = [
    ownTop_V,
    // A listed ceiling that is as good as the kit's own adds nothing.
    ...CEILINGS_soc.filter((soc) => Math.abs(soc - ownSoc) > 0.005).map((soc) => to5mV(openCircuit_V(table, soc))),
  ].sort((a, b) => a - b);
  const listed =
    kit.cells.chemistry === 'table' ? CUTOFFS_soc.map((soc) => to10mV(openCircuit_V(table, soc))) : CUTOFFS_V;
  const cutoffs = own ? [...listed, own.cutoff_V] : listed;
  const gaps = own ? [...GAPS_V, own.reconnect_V - own.cutoff_V] : GAPS_V;
  const list: Choice[] = [];
  for (const ceiling_V of ceilings) {
    const add = (cutoff_V: number, reconnect_V: number) => {
      if (reconnect_V < ceiling_V && !list.some((c) => sameChoice(c, { ceiling_V, cutoff_V, reconnect_V })))
        list.push({ ceiling_V, cutoff_V, reconnect_V });
    };
    for (const cutoff_V of cutoffs) for (const gap_V of gaps) add(cutoff_V, to1mV(cutoff_V + gap_V));
  }
  return list.sort((a, b) => a.ceiling_V - b.ceiling_V || a.cutoff_V - b.cutoff_V || a.reconnect_V - b.reconnect_V);
}

/** Whether two choices are the same to a millivolt. */
export function sameChoice(a: Choice, b: Choice): boolean {
  const near = (x: number, y: number) => Math.abs(x - y) < 5e-4;
  return near(a.ceiling_V, b.ceiling_V) && near(a.cutoff_V, b.cutoff_V) && near(a.reconnect_V, b.reconnect_V);
}

/** How far a unit may be off from its nominal thresholds, and what else eats into the gap between them. */
export interface CornerSpec {
  readonly tolerance_mV: number;
  /** Drift from 25 °C to the mean of the coldest month, mV, taken to either side. */
  readonly drift_mV: number;
  readonly coldMonth_degC: number;
  /** Coldest hour of the cells in all years. */
  readonly coldest_degC: number;
  /** A charging cell stands above its rested voltage by the charge current times its resistance, mV, in the cold and aged. */
  readonly chargeLift_mV: number;
  /** What the restart pulls the cells down by, mV, in the coldest hour and aged. */
  readonly restartDrop_mV: number;
  /** Room kept for what the model leaves out, mV. */
  readonly reserve_mV: number;
  /** Lowest cut-off that a unit may have, V: below it cells suffer, or the board browns out first. */
  readonly floor_V: number;
  readonly floor: 'damage' | 'table' | 'brown-out';
  readonly age_years: number;
}

/**
 * The corner of smallest gap: cut-off off upwards, reconnect off downwards, each by tolerance and drift; the charger
 * lifts the cells while the reconnect is watched; the restart of cold and aged cells pulls them down.
 */
export function cornerOf(kit: Kit, aged: CellAge, coldMonth_degC: number, coldest_degC: number): CornerSpec {
  const { tolerance_mV, drift_uV_K, brownout_V } = kit.cutoff;
  const bank = bankOf(kit, aged);
  const node = nodeOf(kit);
  const charge_A = Math.min(node.outputLimit_A, kitPower_W(kit) / 3.6);
  const restart_A = Math.max(node.inrush_A, node.pulse_A);
  const coldestCharging_degC = node.coldLockout ? Math.max(coldest_degC, node.chargeMin_degC) : coldest_degC;
  const ownTable = kit.cells.chemistry === 'table';
  const damage_V = ownTable ? ocvOf(kit).voltage_V[0]! : DAMAGE_V;
  return {
    tolerance_mV: tolerance_mV ?? DEFAULT_TOLERANCE_mV,
    drift_mV: (Math.abs(coldMonth_degC - 25) * (drift_uV_K ?? DEFAULT_DRIFT_uV_K)) / 1000,
    coldMonth_degC,
    coldest_degC,
    chargeLift_mV: 1000 * charge_A * resistance_Ohm(bank, coldestCharging_degC),
    restartDrop_mV: 1000 * restart_A * resistance_Ohm(bank, coldest_degC),
    reserve_mV: 1000 * RESERVE_V,
    floor_V: Math.max(damage_V, brownout_V ?? 0),
    floor: (brownout_V ?? 0) > damage_V ? 'brown-out' : ownTable ? 'table' : 'damage',
    age_years: CORNER_AGE_years,
  };
}

/** What is left of the gap between the thresholds in the corner, mV: below 0 a restart is thrown back by its own inrush. */
export function margin_mV(choice: Choice, corner: CornerSpec): number {
  const { tolerance_mV, drift_mV, chargeLift_mV, restartDrop_mV } = corner;
  return 1000 * (choice.reconnect_V - choice.cutoff_V) - 2 * (tolerance_mV + drift_mV) - chargeLift_mV - restartDrop_mV;
}

/** Lowest cut-off and highest reconnect of any one unit, V. */
export function extremes(choice: Choice, corner: CornerSpec): { lowCutoff_V: number; highReconnect_V: number } {
  const off_V = (corner.tolerance_mV + corner.drift_mV) / 1000;
  return { lowCutoff_V: choice.cutoff_V - off_V, highReconnect_V: choice.reconnect_V + off_V };
}

/** The kit as a node with these thresholds, nominal or in the corner of smallest gap. */
export function nodeWith(kit: Kit, choice: Choice, age: CellAge, corner?: CornerSpec): NodeSpec {
  const off_V = corner ? (corner.tolerance_mV + corner.drift_mV) / 1000 : 0;
  const lift_V = corner ? corner.chargeLift_mV / 1000 : 0;
  return {
    ...nodeOf(kit, age),
    ceiling: { voltage_V: choice.ceiling_V },
    cutoff: {
      kind: 'voltage',
      cutoff_V: choice.cutoff_V + off_V,
      reconnect_V: choice.reconnect_V - off_V - lift_V,
    },
  };
}

/** Thresholds are voltages: a plain kit, whose cells have one constant voltage, cannot be tuned. */
export function checkTunable(kit: Kit): void {
  if (kit.mode === 'plain')
    throw userError(
      'thresholds-need-voltages',
      "the kit is in plain mode, where cells have one constant voltage and thresholds are states of charge: thresholds are tuned as voltages; set mode: full and give cutoff_V and reconnect_V (or none: true) and the charger's ceiling_V",
      { field: 'kit.mode' },
    );
}

/** State of charge of a rested voltage of the kit's cells. */
export function socOf(kit: Kit, voltage_V: number): number {
  return stateOfCharge(ocvOf(kit), voltage_V);
}

/** Rested voltage of the kit's cells at a state of charge, V. */
export function restedOf(kit: Kit, soc: number): number {
  return openCircuit_V(ocvOf(kit), soc);
}
