/** State of charge of a unit before it leaves, and whether that may travel. */
import { ocvTable, stateOfCharge } from '../../core/cells/index.ts';
import { userError } from '../../core/units/index.ts';
import type { Kit } from '../../records/index.ts';

/**
 * Highest state of charge, %, at which lithium-ion cells go by air without a word: demanded of cells alone and, from 2026, of
 * cells packed with equipment; recommended in equipment (see the shipping caution of core/cells, with its source).
 */
export const SHIPPING_LIMIT_pct = 30;
/** A hand-held meter and cells that have not quite settled (common practice, no source). */
const READING_V = 0.01;

export interface RestedCharge {
  readonly charge_pct: number;
  /** The same with the reading ten millivolts off. */
  readonly low_pct: number;
  readonly high_pct: number;
  readonly notes: readonly string[];
}

/**
 * State of charge from the voltage of cells that have rested an hour, by the table of the kit's chemistry.
 *
 * @throws UserError when the table ends well below or above the voltage: another number of cells in a row, or a slip
 */
export function restedCharge(kit: Kit, rested_V: number, temperature_degC?: number): RestedCharge {
  const table = ocvTable(kit.cells.chemistry, kit.cells.table);
  const lowest = table.voltage_V[0]!;
  const highest = table.voltage_V.at(-1)!;
  if (rested_V < lowest - 0.5 || rested_V > highest + 0.2)
    throw userError(
      'no-rested-voltage',
      `${rested_V} V is no rested voltage of these cells, which lie between ${lowest} and ${highest} V: measure across one cell`,
      { field: 'rested_V' },
    );
  const percent = (volts: number) => Math.round(1000 * stateOfCharge(table, volts)) / 10;
  const notes = ['taken from the voltage of cells that have rested an hour without load or sun'];
  if (temperature_degC !== undefined && (temperature_degC < 5 || temperature_degC > 35))
    notes.push(
      `at ${temperature_degC} °C the table, which is one of room temperature, is less sure: let the unit warm through`,
    );
  return {
    charge_pct: percent(rested_V),
    low_pct: percent(rested_V - READING_V),
    high_pct: percent(rested_V + READING_V),
    notes,
  };
}

/**
 * Lets a charge pass, or refuses it. Above the limit the maker has to say that he knows: by road it may go, by air not.
 *
 * @throws UserError (`charge-high`) above the limit, unless told
 */
export function checkCharge(serial: string, charge_pct: number | undefined, told: boolean): string[] {
  if (charge_pct === undefined)
    return [
      `its state of charge is not known: measure the rested voltage; by air it is to be at most ${SHIPPING_LIMIT_pct} %`,
    ];
  if (charge_pct <= SHIPPING_LIMIT_pct) return [];
  const what = `${serial} is at ${charge_pct} % charge, above the ${SHIPPING_LIMIT_pct} % that air transport asks for or recommends`;
  if (told) return [`${what}: check the carrier's current rules`];
  throw userError(
    'charge-high',
    `${what}: discharge it, or say that the carrier's current rules allow it (--charge-told; chargeTold in a request)`,
    { field: 'charge_pct' },
  );
}
