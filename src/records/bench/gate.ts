/** A gate of a plan: what it measures, its limits, and what is wrong with them. */
import * as z from 'zod';
import { type Finding, label, within } from '../fields.ts';
import { key } from './words.ts';

/** What a gate measures: its unit, and whether it is a number, a yes or no, or a text. */
export const MEASURES = {
  'sleep current': { unit: 'µA', value: 'number' },
  'receive current': { unit: 'mA', value: 'number' },
  'transmit current': { unit: 'mA', value: 'number' },
  'cell voltage': { unit: 'V', value: 'number' },
  'cell capacity': { unit: 'mAh', value: 'number' },
  'cell resistance': { unit: 'mΩ', value: 'number' },
  'ceiling voltage': { unit: 'V', value: 'number' },
  'cut-off voltage': { unit: 'V', value: 'number' },
  'reconnect voltage': { unit: 'V', value: 'number' },
  'charge current': { unit: 'mA', value: 'number' },
  'panel power': { unit: 'W', value: 'number' },
  'antenna match': { unit: 'VSWR', value: 'number' },
  'transmit power': { unit: 'dBm', value: 'number' },
  torque: { unit: 'N·m', value: 'number' },
  'spray test': { unit: '', value: 'yes or no' },
  'look over': { unit: '', value: 'yes or no' },
  firmware: { unit: '', value: 'text' },
  settings: { unit: '', value: 'text' },
  number: { unit: '', value: 'number' },
  'yes or no': { unit: '', value: 'yes or no' },
} as const satisfies Record<string, { unit: string; value: 'number' | 'yes or no' | 'text' }>;
export type Measure = keyof typeof MEASURES;
const measures = Object.keys(MEASURES) as [Measure, ...Measure[]];

export const gateSchema = z.strictObject({
  key: key('gate'),
  name: label(),
  measures: z.enum(measures),
  unit: z.string().max(12).optional().describe('Unit, where `measures` is number'),
  low: z.number().optional().describe('Smallest value that passes'),
  high: z.number().optional().describe('Largest value that passes'),
  uncertainty: z
    .number()
    .min(0)
    .optional()
    .describe('Expanded uncertainty of the measurement, in the unit of the gate'),
  guard: z
    .enum(['accept-inside', 'none'])
    .optional()
    .describe(
      'What the uncertainty does. accept-inside (left out: this): accepted inside the limits drawn in by it, undecided between there and the limit. none: judged by the limits as they stand',
    ),
  band: z
    .strictObject({ from_MHz: within('a frequency', 1, 10_000), to_MHz: within('a frequency', 1, 10_000) })
    .optional()
    .describe('Band over which a sweep is judged: the worst value within it counts'),
  equals: label().optional().describe('The text that passes, where a text is recorded'),
  required: z.boolean().default(true),
});
export type Gate = z.output<typeof gateSchema>;

/** Limits that do not go with what is measured, or that shut out every value. */
export function gateFindings(gate: Readonly<Record<string, unknown>>, path: (string | number)[]): Finding[] {
  const measure = MEASURES[gate['measures'] as Measure];
  if (measure === undefined) return [];
  const { low, high, equals, uncertainty, guard } = gate;
  const say = (code: string, field: string, message: string): Finding[] => [{ code, path: [...path, field], message }];
  if (measure.value !== 'text' && equals !== undefined)
    return say('not-a-text', 'equals', `${gate['measures']} is no text: give low and high`);
  if (measure.value !== 'number' && (low !== undefined || high !== undefined))
    return say('not-a-number', 'low', `${gate['measures']} is no number: it has no limits`);
  if (measure.value === 'number' && low === undefined && high === undefined)
    return say('no-limit', 'low', 'a gate that measures a number needs low, high or both');
  if (guard === 'accept-inside' && uncertainty === undefined)
    return say(
      'no-uncertainty',
      'guard',
      'guard is accept-inside, and no uncertainty says by how much: give it, or leave guard out',
    );
  const margin = typeof uncertainty === 'number' && guard !== 'none' ? 2 * uncertainty : 0;
  if (typeof low === 'number' && typeof high === 'number' && low + margin > high)
    return say(
      'shut-gate',
      'high',
      `low is ${low} and high ${high}${margin > 0 ? `, each drawn in by ${margin / 2}` : ''}: nothing can pass`,
    );
  return [];
}
