import * as z from 'zod';
import { assumed, azimuth_deg, label, partName, shade, tilt_deg, within } from './fields.ts';

/** One panel: watts and voltage at maximum power, or the data-sheet five; `power_W` alone in plain mode. */
export const panelSchema = z
  .strictObject({
    part: partName('e.g. panel-3.5W-6V-etfe'),
    name: label().optional().describe('What the panel is called in the results'),
    power_W: within('the power of a small panel', 0.01, 1000)
      .optional()
      .describe('Power at maximum under standard conditions (1000 W/m2, cell at 25 degC), W'),
    voc_V: voltage('an open-circuit voltage').optional().describe('Open-circuit voltage, V'),
    isc_A: current('a short-circuit current').optional().describe('Short-circuit current, A'),
    vmp_V: voltage('a voltage at maximum power').optional().describe('Voltage at maximum power, V'),
    imp_A: current('a current at maximum power').optional().describe('Current at maximum power, A'),
    tempVoc_pct_K: assumed(
      within('a temperature coefficient of Voc', -1, 0).describe('Change of Voc with cell temperature, % per kelvin'),
      -0.31,
      'typical of crystalline silicon (data sheets: -0.30 to -0.33)',
      'full',
    ),
    tempIsc_pct_K: assumed(
      within('a temperature coefficient of Isc', -0.2, 0.3).describe(
        'Change of Isc with cell temperature, % per kelvin',
      ),
      0.05,
      'typical of crystalline silicon',
      'full',
    ),
    tempPmp_pct_K: within('a temperature coefficient of power', -1, 0)
      .optional()
      .describe('Change of maximum power with cell temperature, % per kelvin; absent: follows from the other two'),
    temperatureCoefficient_pct_K: assumed(
      within('a temperature coefficient of power', -1, 0).describe(
        'Plain mode and flat charger: change of power with cell temperature, % per kelvin',
      ),
      -0.4,
      'typical of crystalline silicon',
    ),
    area_cm2: within('an area', 1, 50000).optional().describe('Area of the panel, cm2'),
    cover: assumed(
      z
        .enum(['none', 'glass', 'etfe', 'epoxy'])
        .describe('Front of the panel; decides the loss by reflection at low sun'),
      'epoxy',
      'the usual front of a small panel',
      'full',
    ),
    mounting: assumed(
      z
        .enum(['free', 'lid'])
        .describe('free: air on both sides; lid: on the lid of the housing, back insulated, hotter'),
      'free',
      'air on both sides of the panel',
      'full',
    ),
    tilt_deg: tilt_deg().optional().describe("Tilt from the horizontal, degrees; overrides the perch's"),
    azimuth_deg: azimuth_deg()
      .optional()
      .describe("Direction faced, clockwise from north, degrees; overrides the perch's"),
    tiltOffset_deg: within('an offset of the tilt', -90, 90)
      .optional()
      .describe("Added to the perch's tilt: angle between this panel and the housing, degrees"),
    shade: shade().optional(),
    blockingDiode_V: within('the drop of a diode', 0, 1.5)
      .optional()
      .describe('Forward drop of the blocking diode, V; absent: no diode'),
    tolerance_pct: within('a tolerance', 0, 50).optional().describe('Tolerance of the stated power, %'),
    measuredPower_W: within('the power of a small panel', 0.01, 1000)
      .optional()
      .describe('Measured power at maximum, standard conditions, W; takes the place of the stated power'),
    ageing_pct_year: assumed(
      within('yearly loss of a panel', 0, 20).describe('Loss of power by age, % per year'),
      0.5,
      'median of many field studies (Jordan & Kurtz 2013)',
      'full',
    ),
  })
  .describe('A solar panel');

export type Panel = z.output<typeof panelSchema>;

function voltage(what: string) {
  return within(what, 0.3, 100);
}

function current(what: string) {
  return within(what, 0.001, 50, (value) => (value > 50 ? `in amperes: ${value} mA is ${value / 1000}` : undefined));
}
