import type { Problem } from '../units/index.ts';
import { UserError } from '../units/index.ts';

/** Which open-circuit curve: two published ones, or the user's own. Ageing is modelled for the first two only. */
export type Chemistry = 'nmc111' | 'nmc811' | 'table';

/** Open-circuit voltage against state of charge, straight lines between the points. */
export interface OcvTable {
  readonly chemistry: Chemistry;
  /** State of charge, 0 at the first point, 1 at the last, strictly ascending. */
  readonly soc: readonly number[];
  /** Rested voltage of one cell at each point, V, strictly ascending. */
  readonly voltage_V: readonly number[];
  /** Energy stored below each point per ampere-hour of capacity, Wh/Ah (the integral of the voltage over charge). */
  readonly energy_Wh_Ah: readonly number[];
}

/** One point of a user's own table. */
export interface OcvPoint {
  readonly soc: number;
  readonly voltage_V: number;
}

/** Limits of a user's table; outside is an error. Lithium cells of every kind lie inside (common practice, no source). */
export const OCV_LIMITS = { lowest_V: 1.5, highest_V: 5, points: 2 } as const;

function build(chemistry: Chemistry, soc: readonly number[], voltage_V: readonly number[]): OcvTable {
  const energy_Wh_Ah = [0];
  for (let i = 1; i < soc.length; i++)
    energy_Wh_Ah.push(energy_Wh_Ah[i - 1] + (soc[i] - soc[i - 1]) * 0.5 * (voltage_V[i] + voltage_V[i - 1]));
  return Object.freeze({
    chemistry,
    soc: Object.freeze([...soc]),
    voltage_V: Object.freeze([...voltage_V]),
    energy_Wh_Ah: Object.freeze(energy_Wh_Ah),
  });
}

/**
 * NMC111 against graphite, 18650 of 2.05 Ah: Schmalstieg, Käbitz, Ecker & Sauer, J. Power Sources 257 (2014) 325-334,
 * Fig. 1, as tabulated in NREL's public battery-life code (commit bae8c719). Good to 0.01 V.
 */
export const NMC111: OcvTable = build(
  'nmc111',
  [0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1],
  [
    3.331, 3.3664, 3.4197, 3.491, 3.5436, 3.5812, 3.6079, 3.6267, 3.6411, 3.6552, 3.6726, 3.6974, 3.7322, 3.7747,
    3.8209, 3.8688, 3.9154, 3.9649, 4.0194, 4.073, 4.1183, 4.162,
  ],
);

/**
 * NMC811 against graphite with silicon (the family of 3.4-3.5 Ah 18650 energy cells): Chen et al., J. Electrochem. Soc.
 * 167 (2020) 080534, half-cell fits joined to a full cell from 2.5 V to the paper's 100 % point. Good to 0.01 V.
 */
export const NMC811: OcvTable = build(
  'nmc811',
  [0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 1],
  [
    2.5, 2.8598, 3.1067, 3.2923, 3.4314, 3.4835, 3.526, 3.5781, 3.664, 3.7459, 3.8354, 3.9405, 4.0342, 4.0757, 4.0947,
    4.1144, 4.1809,
  ],
);

/**
 * A user's own open-circuit table (LFP, or a measured cell), checked.
 *
 * @throws UserError naming every faulty point: fewer than two points; a value that is not a number; soc that does not
 * run strictly upwards from 0 to 1; voltage that does not rise strictly or lies outside 1.5..5 V.
 */
export function userTable(points: readonly OcvPoint[], field = 'cells.table'): OcvTable {
  const problems: Problem[] = [];
  const say = (code: string, message: string, at = field) => problems.push({ code, message, place: { field: at } });
  if (points.length < OCV_LIMITS.points)
    say('cells-table-short', `the table has ${points.length} points: give at least 2, from soc 0 to soc 1.`);
  points.forEach((point, i) => {
    const at = `${field}[${i}]`;
    const { soc, voltage_V } = point;
    if (!Number.isFinite(soc) || soc < 0 || soc > 1)
      say('cells-table-soc', `soc is ${soc}: a state of charge lies between 0 and 1; is it in per cent?`, at);
    if (!Number.isFinite(voltage_V) || voltage_V < OCV_LIMITS.lowest_V || voltage_V > OCV_LIMITS.highest_V)
      say('cells-table-voltage', `voltage_V is ${voltage_V}: a lithium cell at rest lies between 1.5 and 5 V.`, at);
    const before = points[i - 1];
    if (before === undefined) return;
    if (soc <= before.soc)
      say('cells-table-order', `soc ${soc} follows ${before.soc}: it must rise from point to point.`, at);
    if (voltage_V <= before.voltage_V)
      say(
        'cells-table-flat',
        `voltage_V ${voltage_V} follows ${before.voltage_V}: it must rise, else no voltage tells the charge; on a flat stretch add 1 mV a point.`,
        at,
      );
  });
  const first = points[0];
  const last = points[points.length - 1];
  if (problems.length === 0 && first !== undefined && last !== undefined && (first.soc !== 0 || last.soc !== 1))
    say('cells-table-ends', `the table runs from soc ${first.soc} to ${last.soc}: it must begin at 0 and end at 1.`);
  if (problems.length > 0) throw new UserError(problems);
  return build(
    'table',
    points.map((p) => p.soc),
    points.map((p) => p.voltage_V),
  );
}

/** The table that a record names; `points` is needed for `'table'` only. */
export function ocvTable(chemistry: Chemistry, points?: readonly OcvPoint[], field = 'cells.table'): OcvTable {
  if (chemistry === 'nmc111') return NMC111;
  if (chemistry === 'nmc811') return NMC811;
  return userTable(points ?? [], field);
}

/** Index i of the stretch [x[i], x[i+1]] that holds `value`; the end stretches hold what lies outside. */
function stretch(x: readonly number[], value: number): number {
  let low = 0;
  let high = x.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle] <= value) low = middle;
    else high = middle;
  }
  return low;
}

function interpolate(x: readonly number[], y: readonly number[], value: number): number {
  const last = x.length - 1;
  if (value <= x[0]) return y[0];
  if (value >= x[last]) return y[last];
  const i = stretch(x, value);
  return y[i] + ((value - x[i]) / (x[i + 1] - x[i])) * (y[i + 1] - y[i]);
}

/** Rested voltage of one cell, V, at a state of charge; outside 0..1 the end value. */
export function openCircuit_V(table: OcvTable, soc: number): number {
  return interpolate(table.soc, table.voltage_V, soc);
}

/** State of charge 0..1 of a rested cell: the inverse of `openCircuit_V`; beyond the table's voltages 0 or 1. */
export function stateOfCharge(table: OcvTable, voltage_V: number): number {
  return interpolate(table.voltage_V, table.soc, voltage_V);
}

/** Mean voltage of the whole table, V: the energy of a full cell over its charge. */
export function meanVoltage_V(table: OcvTable): number {
  return table.energy_Wh_Ah[table.energy_Wh_Ah.length - 1];
}

/** Share of a full cell's energy that is stored at a state of charge; exact for the straight lines of the table. */
export function energyShare(table: OcvTable, soc: number): number {
  const s = Math.min(1, Math.max(0, soc));
  const i = stretch(table.soc, s);
  const half = 0.5 * (table.voltage_V[i] + openCircuit_V(table, s));
  return (table.energy_Wh_Ah[i] + (s - table.soc[i]) * half) / meanVoltage_V(table);
}

/** State of charge at a share 0..1 of the full energy: the exact inverse of `energyShare` (a quadratic in each stretch). */
export function stateOfChargeByEnergy(table: OcvTable, share: number): number {
  const energy = Math.min(1, Math.max(0, share)) * meanVoltage_V(table);
  const i = stretch(table.energy_Wh_Ah, energy);
  const v0 = table.voltage_V[i];
  const slope = (table.voltage_V[i + 1] - v0) / (table.soc[i + 1] - table.soc[i]);
  const rest = energy - table.energy_Wh_Ah[i];
  // v0 x + slope x²/2 = rest, in the form that does not cancel for small slopes.
  return Math.min(1, table.soc[i] + (2 * rest) / (v0 + Math.sqrt(v0 * v0 + 2 * slope * rest)));
}
