/** Charger, cut-off and cells of a kit. */
import * as z from 'zod';
import { CELL_DEFAULTS } from '../core/cells/index.ts';
import { asShare, assumed, countOf, label, partName, soc, within } from './fields.ts';

const efficiency = () => within('an efficiency', 0.01, 1, asShare);
const volts = (what: string) => within(what, 1, 60);

export const CHARGER_TYPES = ['linear', 'fixed-input', 'voc-fraction', 'tracking', 'flat'] as const;

export const chargerSchema = z
  .strictObject({
    part: partName('e.g. charger-linear-500mA'),
    name: label().optional().describe('What the charger is called in the results'),
    type: z
      .enum(CHARGER_TYPES)
      .describe(
        'linear: passes the current, input near the cells; fixed-input: holds one input voltage; voc-fraction: holds a share of the open-circuit voltage; tracking: follows maximum power; flat: one efficiency on the rated power',
      ),
    inputVoltage_V: volts('an input voltage')
      .optional()
      .describe('Voltage at which the panel is held (fixed-input: needed; linear: 4.4 if absent), V'),
    vocFraction: within('the share of Voc', 0.5, 0.95, asShare)
      .optional()
      .describe('Share of the open-circuit voltage at which the panel is held (voc-fraction; 0.8 if absent)'),
    dropout_V: within('a dropout', 0, 2)
      .optional()
      .describe('Least voltage between input and cells (linear; 0.2 if absent), V'),
    efficiency: z
      .union([
        efficiency(),
        z
          .array(
            z.strictObject({
              power_W: within('an input power', 0, 1000).describe('Input power, W'),
              efficiency: efficiency().describe('Efficiency at that power, 0 to 1'),
            }),
          )
          .min(2, { error: 'an efficiency curve has at least 2 points' }),
      ])
      .optional()
      .describe(
        'Converter efficiency: one number 0 to 1, or a list of {power_W, efficiency} by rising input power. Absent: 1 for linear, 0.9 for converters, 0.85 for flat',
      ),
    trackingEfficiency: within('a tracking efficiency', 0.5, 1, asShare)
      .optional()
      .describe('Share of maximum power that tracking finds (tracking; 0.97 if absent)'),
    currentLimit_mA: within('a charge current', 1, 20000)
      .optional()
      .describe('Most charge current, mA; absent: no limit'),
    ownConsumption_uA: assumed(
      within('own consumption', 0, 100000).describe('Current that the charger always draws from the cells, uA'),
      20,
      'order of a charger chip with its divider, from memory',
      'full',
    ),
    ceiling_V: volts('a charge ceiling').optional().describe('Voltage at the cells at which charging stops, V'),
    ceiling_soc: soc('a state of charge').optional().describe('State of charge at which charging stops, 0 to 1'),
    chargeMin_degC: assumed(
      within('the coldest charging temperature', -40, 25).describe('No charging when the cells are colder, degC'),
      0,
      'lithium-ion cells plate below freezing',
    ),
    chargeMax_degC: assumed(
      within('the hottest charging temperature', 20, 90).describe('No charging when the cells are hotter, degC'),
      45,
      'usual upper limit in cell data sheets',
      'full',
    ),
    derateFrom_degC: within('start of the derating', 0, 90)
      .optional()
      .describe('Cell temperature from which the charge current falls, degC; absent: no derating'),
    derateTo_degC: within('end of the derating', 0, 100)
      .optional()
      .describe('Cell temperature at which the charge current has fallen to zero, degC'),
    power_path: assumed(
      z.boolean().describe('true: the panel feeds the load while charging is blocked; false: it does not'),
      true,
      'the panel feeds the load while charging is blocked',
    ),
    cold_lockout: assumed(
      z
        .boolean()
        .describe(
          'true: no charging below chargeMin_degC; false: cells are charged in the cold, counted as plating hours',
        ),
      true,
      'the charger measures the temperature of the cells',
    ),
  })
  .describe('The charger between panel and cells');

export type Charger = z.output<typeof chargerSchema>;

export const cutoffSchema = z
  .strictObject({
    cutoff_V: volts('a cut-off').optional().describe('Voltage at the cells at which the load is switched off, V'),
    reconnect_V: volts('a reconnect').optional().describe('Voltage at the cells at which the load comes back, V'),
    cutoff_soc: soc('a state of charge').optional().describe('The same as state of charge, 0 to 1'),
    reconnect_soc: soc('a state of charge').optional().describe('The same as state of charge, 0 to 1'),
    none: z.literal(true).optional().describe('true: no cut-off; the board browns out by itself'),
    brownout_V: volts('a brown-out').optional().describe('none: voltage at the cells at which the board fails, V'),
    restartsByItself: z.boolean().optional().describe('none: does the board start again without hands?'),
    restart_V: volts('a restart').optional().describe('none: voltage at which it starts again, V'),
    tolerance_mV: within('a tolerance', 0, 1000)
      .optional()
      .describe('Tolerance of both thresholds, plus or minus, mV (40 if absent)'),
    drift_uV_K: within('a drift', 0, 20000)
      .optional()
      .describe('Drift of both thresholds with temperature, uV per kelvin (200 if absent)'),
  })
  .describe('Cut-off and reconnect of the load: as voltages, as states of charge, or none');

export type Cutoff = z.output<typeof cutoffSchema>;

export const CHEMISTRIES = ['nmc111', 'nmc811', 'table'] as const;

export const cellsSchema = z
  .strictObject({
    part: partName('e.g. cell-18650-3350'),
    name: label().optional().describe('What the cell is called in the results'),
    count: countOf('the number of cells in parallel', 1, 1000).describe('Cells in parallel'),
    capacity_mAh: within('the capacity of one cell', 20, 200000, (value) =>
      value > 0 && value < 20 ? `${value} Ah is ${value * 1000} mAh` : undefined,
    ).describe('Rated capacity of one cell, mAh'),
    measuredCapacity_mAh: within('the capacity of one cell', 20, 200000)
      .optional()
      .describe('Measured capacity of the lot, per cell, mAh; takes the place of the rated one'),
    chemistry: assumed(
      z.enum(CHEMISTRIES).describe('nmc111, nmc811, or table (own voltage table; ageing is then not modelled)'),
      'nmc811',
      "the family of today's cells of 3,000 mAh and more",
      'full',
    ),
    table: z
      .array(
        z.strictObject({
          soc: soc('a state of charge').describe('State of charge, 0 to 1'),
          voltage_V: within('the voltage of one cell', 1, 5).describe('Open-circuit voltage at rest, V'),
        }),
      )
      .min(2, { error: 'a voltage table has at least 2 points, from soc 0 to soc 1' })
      .optional()
      .describe('chemistry table: open-circuit voltage by rising state of charge'),
    resistance_mOhm: assumed(
      within('the resistance of one cell', 0, 5000).describe(
        'Resistance of one cell at 25 degC with its contacts, mOhm',
      ),
      CELL_DEFAULTS.resistance_mOhm,
      'one cell with its contacts, from memory',
      'full',
    ),
    voltage_V: assumed(
      within('the voltage of one cell', 1, 5).describe('Plain mode: the constant voltage of the cells, V'),
      3.6,
      'nominal voltage of lithium-ion cells',
      'plain',
    ),
    age_years: within('the age of the cells', 0, 50).optional().describe('Age at the start, years; absent: new'),
    selfDischarge_pct_month: assumed(
      within('self-discharge', 0, 50).describe('Self-discharge at 20 degC, % per month'),
      CELL_DEFAULTS.selfDischarge_pct_month,
      'middle of 1 to 3 % per month, from memory',
      'full',
    ),
  })
  .describe('The cells, all in parallel');

export type Cells = z.output<typeof cellsSchema>;
