/** Load of a kit: an average, or composed of states that each have a current and a share of time. */
import * as z from 'zod';
import { asShare, label, partName, within } from './fields.ts';

const supply = () =>
  z
    .enum(['regulated', 'battery'])
    .describe('regulated: behind the regulator; battery: straight on the cells')
    .default('regulated');
const current = () => within('a current', 0, 20000);

export const LOAD_KINDS = [
  'receive',
  'processor',
  'positioning',
  'short-range-radio',
  'sensor',
  'indicator',
  'other',
] as const;

export const loadPartSchema = z
  .strictObject({
    part: partName('e.g. radio-receive'),
    name: label().optional().describe('What this state is called in the results'),
    kind: z.enum(LOAD_KINDS).optional().describe('What draws the current'),
    current_mA: current().describe('Current while on, at the output of the regulator or at the cells, mA'),
    duty: within('a share of time', 0, 1, asShare).optional().describe('Share of the time it is on, 0 to 1'),
    seconds_per_h: within('the seconds in an hour', 0, 3600)
      .optional()
      .describe('The same in seconds of each hour; absent both: always on'),
    supply: supply(),
  })
  .describe('One state of the load: receive, processor, positioning, sensor, indicator, …');

export type LoadPart = z.output<typeof loadPartSchema>;

export const transmitSchema = z
  .strictObject({
    part: partName('e.g. radio-transmit-22dBm'),
    power_dBm: within('a transmit power', -20, 36).optional().describe('Power at the antenna port, dBm'),
    current_mA: current().optional().describe('Current during transmission, mA; absent: typical of power_dBm'),
    airtime_s_per_h: within('the seconds in an hour', 0, 3600).describe('Time on air, seconds per hour'),
    supply: supply(),
  })
  .describe('Transmission by power and time on air');

export type Transmit = z.output<typeof transmitSchema>;

export const regulatorSchema = z
  .strictObject({
    type: z
      .enum(['linear', 'switching'])
      .describe('linear: input current is output current plus quiescent; switching: by efficiency'),
    output_V: within('an output voltage', 0.8, 12).describe('Output voltage, V'),
    quiescent_uA: within('a quiescent current', 0, 100000).describe('Current without load, uA'),
    efficiency: within('an efficiency', 0.1, 1, asShare)
      .optional()
      .describe('switching: output over input power, 0 to 1 (0.9 if absent)'),
  })
  .describe('Regulator between cells and the parts that are regulated');

export const loadSchema = z
  .strictObject({
    average_mA: current().optional().describe('Average current; at the cells, or at voltage_V if that is given, mA'),
    voltage_V: within('a voltage', 0.8, 60)
      .optional()
      .describe('average_mA at this voltage: the load is a constant power, V; absent: a constant current at the cells'),
    regulator: regulatorSchema.optional(),
    transmit: transmitSchema.optional(),
    parts: z.array(loadPartSchema).max(50, { error: 'at most 50 parts' }).optional().describe('All other states'),
    transmitPeak_mA: current().optional().describe('Current at the cells during the transmit pulse, mA'),
    inrush_mA: current().optional().describe('Current at the cells when the load comes back, mA'),
  })
  .describe('The load: average_mA, or composed of transmit and parts');

export type Load = z.output<typeof loadSchema>;
