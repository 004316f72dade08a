/** A question about cost, as a page or a program asks it. */
import * as z from 'zod';
import { countOf, within } from '../fields.ts';
import { key, minor } from './words.ts';

export const COST_ASKS = [
  'overview',
  'unit',
  'price',
  'break-even',
  'crossover',
  'next',
  'ways',
  'order',
  'starts',
  'spares',
] as const;

/** What is tried out: it goes before what was measured and what the assumptions say. */
export const costChange = z.strictObject({
  learning_pct: within('a learning rate in per cent', 51, 100)
    .optional()
    .describe('What a doubling of the number leaves of the time'),
  lost_pct: within('the units that are lost, in per cent,', 0, 99)
    .optional()
    .describe('Of the units begun, none of which can be sold'),
  demand_month: within('a demand a month', 0, 1e5)
    .optional()
    .describe('Units asked for in a month, for the next batch'),
});
export type CostChange = z.output<typeof costChange>;

export const costRequest = z.strictObject({
  ask: z.enum(COST_ASKS),
  what: key('batch or plan').optional().describe('A batch or plan of the bench; absent: the `unit` of the assumptions'),
  assumptions: z.string().max(100_000).optional().describe('Text of a file of assumptions about cost, YAML'),
  change: costChange.optional(),
  margin_pct: within('a margin in per cent', 0, 99.9).optional().describe('For `price`: the margin that is wanted'),
  price_minor: minor('a price').optional().describe('Net price; absent: that of the assumptions, or from their margin'),
  keep_minor: minor('what is to stay').optional().describe('For `price`: what is to stay of it after fees'),
  target_minor: minor('a profit that is wanted').optional().describe('For `break-even`: on top of what is paid once'),
  planned: countOf('the number planned', 1, 1e9).optional().describe('For `break-even`: units that are to be sold'),
  demand_month: within('a demand a month', 0, 1e6).optional().describe('For `ways`: pieces a month, for every way'),
  part: key('part').optional().describe('For `order`: a part of the stores'),
  good: countOf('the number wanted', 1, 100_000).optional().describe('For `starts`: units that are to come out good'),
  sure: within('the chance of having enough', 0.5, 0.9999)
    .optional()
    .describe('For `starts` and `spares`: how sure one wants to be, 0.95 unless told'),
  yields: z
    .array(within('the share that comes out good', 0.01, 1))
    .min(1)
    .max(100)
    .optional()
    .describe('For `starts`: shares that pass each step at the first try; absent: what was seen or is assumed'),
  starts: countOf('the number begun', 1, 200_000).optional().describe('For `starts`: chance of enough with so many'),
  units: countOf('the number in the field', 1, 1e6).optional().describe('For `spares`; absent: those shipped'),
  rate_pct: within('the units that fail in a year, in per cent,', 0, 1000)
    .optional()
    .describe('For `spares`; absent: from what came back'),
  years: within('the years of warranty', 0.05, 30).optional().describe('For `spares`: 2 unless told'),
  seed: countOf('a seed', 0, 2 ** 31 - 1)
    .optional()
    .describe('Of the draws; absent: from what is asked'),
  draws: countOf('a number of draws', 100, 20_000).optional().describe('Of each simulation: 4,000 unless told'),
});
export type CostRequest = z.output<typeof costRequest>;
