import type { Problem } from '../units/index.ts';
import { UserError } from '../units/index.ts';
import type { OcvTable } from './chemistry.ts';
import { openCircuit_V, stateOfCharge } from './chemistry.ts';
import type { CellTables } from './tables.ts';
import { cellTables } from './tables.ts';
import type { ChargeWindow } from './temperature.ts';
import { CHARGE_WINDOW, ownDischarge_per_h, resistanceRatio } from './temperature.ts';

/** Cells in parallel, as one battery. Plain data: may be passed to a worker. */
export interface CellBank {
  readonly table: OcvTable;
  /** Cells in parallel. */
  readonly count: number;
  /** Capacity of one new cell at 25 °C: the measured one of the lot where known, else the nominal, mAh. */
  readonly capacity_mAh: number;
  /** Pulse resistance of one new cell at 25 °C, its share of the wiring included, mΩ. */
  readonly resistance_mOhm: number;
  /** What age has left of the capacity, 1 for new cells. */
  readonly capacityShare: number;
  /** What age has made of the resistance, 1 for new cells. */
  readonly resistanceFactor: number;
  /** Own discharge at 20 °C, % of the capacity a month. */
  readonly selfDischarge_pct_month: number;
  /** Standing current of the protection circuit of the whole bank, µA. */
  readonly protection_uA: number;
  /** Charge given back over charge put in. */
  readonly coulombicEfficiency: number;
  readonly chargeWindow: ChargeWindow;
}

/** What describes a bank; all but the first three have a default from `CELL_DEFAULTS`. */
export interface CellBankInput {
  readonly table: OcvTable;
  readonly count: number;
  /** Nominal capacity of one cell, mAh. */
  readonly capacity_mAh: number;
  /** Mean measured capacity of the lot, mAh: takes the place of the nominal one. */
  readonly measuredCapacity_mAh?: number | undefined;
  readonly resistance_mOhm?: number | undefined;
  readonly capacityShare?: number | undefined;
  readonly resistanceFactor?: number | undefined;
  readonly selfDischarge_pct_month?: number | undefined;
  readonly protection_uA?: number | undefined;
  readonly coulombicEfficiency?: number | undefined;
  readonly chargeWindow?: Partial<ChargeWindow> | undefined;
}

/** Typical values, all FROM MEMORY: own discharge of 1-3 % a month, protection circuit 1-10 µA, charge efficiency 0.995-0.9995; a pulse resistance of 60 mΩ with contacts. */
export const CELL_DEFAULTS = {
  resistance_mOhm: 60,
  selfDischarge_pct_month: 2,
  protection_uA: 4,
  coulombicEfficiency: 0.998,
} as const;

/** Limits of the numbers of a bank, both ends allowed; outside is an error. */
export const CELL_LIMITS = {
  count: [1, 1000],
  capacity_mAh: [10, 1_000_000],
  measuredCapacity_mAh: [10, 1_000_000],
  resistance_mOhm: [0, 10_000],
  capacityShare: [0.01, 1.2],
  resistanceFactor: [0.5, 100],
  selfDischarge_pct_month: [0, 50],
  protection_uA: [0, 10_000],
  coulombicEfficiency: [0.9, 1],
} as const satisfies Record<string, readonly [number, number]>;

/**
 * A checked bank with the defaults filled in.
 *
 * @throws UserError naming every value outside `CELL_LIMITS`, a count that is not whole, and an empty charge window.
 */
export function createBank(input: CellBankInput, field = 'cells'): CellBank {
  const problems: Problem[] = [];
  for (const name of Object.keys(CELL_LIMITS) as (keyof typeof CELL_LIMITS)[]) {
    const value = input[name];
    const [low, high] = CELL_LIMITS[name];
    if (value !== undefined && !(value >= low && value <= high))
      problems.push({
        code: 'cells-range',
        message: `${name} is ${value}: it lies between ${low} and ${high}.`,
        place: { field: `${field}.${name}` },
      });
  }
  if (!Number.isInteger(input.count))
    problems.push({
      code: 'cells-count',
      message: `count is ${input.count}: cells in parallel are counted in whole numbers.`,
      place: { field: `${field}.count` },
    });
  const chargeWindow = { ...CHARGE_WINDOW, ...input.chargeWindow };
  if (!(chargeWindow.lowest_degC < chargeWindow.highest_degC))
    problems.push({
      code: 'cells-window',
      message: `the charge window runs from ${chargeWindow.lowest_degC} to ${chargeWindow.highest_degC} °C: the lower end must lie below the upper.`,
      place: { field: `${field}.chargeWindow` },
    });
  if (problems.length > 0) throw new UserError(problems);
  return {
    table: input.table,
    count: input.count,
    capacity_mAh: input.measuredCapacity_mAh ?? input.capacity_mAh,
    resistance_mOhm: input.resistance_mOhm ?? CELL_DEFAULTS.resistance_mOhm,
    capacityShare: input.capacityShare ?? 1,
    resistanceFactor: input.resistanceFactor ?? 1,
    selfDischarge_pct_month: input.selfDischarge_pct_month ?? CELL_DEFAULTS.selfDischarge_pct_month,
    protection_uA: input.protection_uA ?? CELL_DEFAULTS.protection_uA,
    coulombicEfficiency: input.coulombicEfficiency ?? CELL_DEFAULTS.coulombicEfficiency,
    chargeWindow,
  };
}

/** The same bank with the capacity share and resistance factor of an age, as `ageYears` gives them. */
export function agedBank(bank: CellBank, capacityShare: number, resistanceFactor: number): CellBank {
  return { ...bank, capacityShare, resistanceFactor };
}

/** Charge of the full bank at 25 °C at its age, Ah. */
export function bankCapacity_Ah(bank: CellBank): number {
  return (bank.count * bank.capacity_mAh * bank.capacityShare) / 1000;
}

/** The bank's open-circuit curve by stored energy. */
export function bankTables(bank: CellBank, nodes?: number): CellTables {
  return cellTables(bank.table, bankCapacity_Ah(bank), nodes);
}

/** Pulse resistance of the whole bank, Ω: cells in parallel, at its age and temperature (see `resistanceRatio`). */
export function resistance_Ohm(bank: CellBank, temperature_degC: number): number {
  return ((bank.resistance_mOhm / 1000) * bank.resistanceFactor * resistanceRatio(temperature_degC)) / bank.count;
}

/** Share of the bank's capacity lost standing in an hour: the cells' own discharge and the protection circuit's current. */
export function selfDischarge_per_h(bank: CellBank, temperature_degC: number): number {
  const circuit = bank.protection_uA / 1e6 / bankCapacity_Ah(bank);
  return ownDischarge_per_h(temperature_degC, bank.selfDischarge_pct_month) + circuit;
}

/** State of charge of a bank that has rested (an hour without current, common practice) at a voltage. */
export function socFromRest(bank: CellBank, restedVoltage_V: number): number {
  return stateOfCharge(bank.table, restedVoltage_V);
}

/** Terminal voltage, V, while a pulse of `pulse_A` is drawn (negative: charging): V = OCV(soc) - I·R(T). */
export function pulseVoltage_V(bank: CellBank, soc: number, temperature_degC: number, pulse_A: number): number {
  return openCircuit_V(bank.table, soc) - pulse_A * resistance_Ohm(bank, temperature_degC);
}

/**
 * State of charge at which the terminal voltage under a pulse falls to `threshold_V`: where a cut-off acts that looks at
 * the loaded cell. Cold and age raise it. 0 or 1 where no state of charge meets the voltage.
 */
export function socAtPulse(bank: CellBank, threshold_V: number, temperature_degC: number, pulse_A: number): number {
  return stateOfCharge(bank.table, threshold_V + pulse_A * resistance_Ohm(bank, temperature_degC));
}
