/** State of charge of a unit before it leaves, and whether that may travel. */
import { ocvTable, stateOfCharge } from '../../core/cells/index.ts';
import { userError } from '../../core/units/index.ts';
import type { Kit } from '../../records/index.ts';

/**
 * Highest state of charge, %, at which lithium-ion cells go by air without a word: demanded of cells alone and, from 2026, of
 * cells packed with equipment; recommended in equipment (see the shipping caution of core/cells, with its source).
 */
export const SHIPPING_LIMIT_pct = 30;

/** Where the cells are when they travel. */
export const PACKINGS = ['contained', 'with equipment', 'alone'] as const;
export type Packing = (typeof PACKINGS)[number];

export interface ShippingRule {
  readonly packing: Packing;
  readonly unNumber: 'UN3480' | 'UN3481';
  readonly limit_pct: number;
  readonly duty: 'asked for' | 'recommended';
  readonly said: string;
  readonly source: string;
}

const SOURCE = 'IATA Dangerous Goods Regulations, packing instructions 965 to 967';

/** What air transport says of the charge, by where the cells are. Units leave with their cells inside. */
export const shippingRule = (packing: Packing = 'contained'): ShippingRule => {
  const limit_pct = SHIPPING_LIMIT_pct;
  switch (packing) {
    case 'alone':
      return {
        ...{ packing, unNumber: 'UN3480', limit_pct, duty: 'asked for' },
        said: `UN3480, cells alone: by air at ${limit_pct} % charge or less, and never on passenger aircraft`,
        source: `${SOURCE} (965, from April 2016): confirmed`,
      };
    case 'with equipment':
      return {
        ...{ packing, unNumber: 'UN3481', limit_pct, duty: 'asked for' },
        said: `UN3481, cells packed with equipment: from 2026 by air at ${limit_pct} % charge or less where a cell has more than 2.7 Wh`,
        source: `${SOURCE} (966): its exact reach from memory`,
      };
    case 'contained':
      return {
        ...{ packing, unNumber: 'UN3481', limit_pct, duty: 'recommended' },
        said: `UN3481, cells in equipment: ${limit_pct} % charge or less is recommended by air`,
        source: `${SOURCE} (967)`,
      };
  }
};

/** A hand-held meter and cells that have not quite settled (common practice, no source). */
const READING_V = 0.01;
/** Cells at these temperatures are as in the table, which is one of room temperature. */
export const ROOM_degC = { low: 10, high: 30 } as const;
/** Change of the rested voltage with temperature, either way (order of the entropy term of such cells; from memory). */
const DRIFT_V_K = 0.0005;
/** What cold cells still lack of their rest after an hour, for each kelvin below that range (judgement, no source). */
const UNRESTED_V_K = 0.001;

export interface RestedCharge {
  readonly charge_pct: number;
  /** The same with the reading off by what meter, rest and temperature leave open. */
  readonly low_pct: number;
  readonly high_pct: number;
  readonly notes: readonly string[];
}

/**
 * State of charge from the voltage of cells that have rested an hour, by the table of the kit's chemistry. Between 10 and 30 °C
 * the interval is that of ten millivolts; outside it widens. Not validated against cells of a known charge.
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
  const colder_K = Math.max(0, ROOM_degC.low - (temperature_degC ?? ROOM_degC.low));
  const hotter_K = Math.max(0, (temperature_degC ?? ROOM_degC.high) - ROOM_degC.high);
  const open_V = READING_V + DRIFT_V_K * (colder_K + hotter_K) + UNRESTED_V_K * colder_K;
  const percent = (volts: number) => Math.round(1000 * stateOfCharge(table, volts)) / 10;
  const notes = ['taken from the voltage of cells that have rested an hour without load or sun'];
  if (temperature_degC === undefined)
    notes.push(`no temperature was told: ${ROOM_degC.low} to ${ROOM_degC.high} °C is taken`);
  else if (colder_K + hotter_K > 0)
    notes.push(
      `at ${temperature_degC} °C the table, which is one of room temperature, is less sure: the interval is that of ${Math.round(1000 * open_V)} mV in place of ${1000 * READING_V}; let the unit come to ${ROOM_degC.low} to ${ROOM_degC.high} °C and measure again`,
    );
  return {
    charge_pct: percent(rested_V),
    low_pct: percent(rested_V - open_V),
    high_pct: percent(rested_V + open_V),
    notes,
  };
}

/**
 * Lets a charge pass, or refuses it. Above the limit the maker has to say that he knows: by road it may go, by air not.
 *
 * @throws UserError (`charge-high`) above the limit, unless told
 */
export function checkCharge(
  serial: string,
  charge_pct: number | undefined,
  told: boolean,
  packing: Packing = 'contained',
): string[] {
  const { limit_pct, duty, said, source } = shippingRule(packing);
  const rule = `${said} (${source})`;
  if (charge_pct === undefined)
    return [`the state of charge of ${serial} is not known: measure the rested voltage of a cell. ${rule}`];
  if (charge_pct <= limit_pct) return [];
  const what = `${serial} is at ${charge_pct} % charge, above the ${limit_pct} % that is ${duty} by air`;
  if (told) return [`${what}: check the carrier's current rules. ${rule}`];
  throw userError(
    'charge-high',
    `${what}: discharge it, or say that the carrier's current rules allow it (--charge-told; chargeTold in a request). ${rule}`,
    { field: 'charge_pct' },
  );
}
