/** A question about cost, as a page or a program asks it. */
import * as z from 'zod';
import { countOf, within } from '../fields.ts';
import { key, minor } from './words.ts';

export const COST_ASKS = ['unit', 'price', 'break-even', 'crossover', 'next', 'ways'] as const;

export const costRequest = z.strictObject({
  ask: z.enum(COST_ASKS),
  what: key('batch or plan').optional().describe('A batch or plan of the bench; absent: the `unit` of the assumptions'),
  assumptions: z.string().max(100_000).optional().describe('Text of a file of assumptions about cost, YAML'),
  margin_pct: within('a margin in per cent', 0, 99.9).optional().describe('For `price`: the margin that is wanted'),
  price_minor: minor('a price').optional().describe('Net price; absent: that of the assumptions, or from their margin'),
  demand_month: within('a demand a month', 0, 1e6).optional().describe('For `ways`: pieces a month, for every way'),
  seed: countOf('a seed', 0, 2 ** 31 - 1).default(1),
});
export type CostRequest = z.output<typeof costRequest>;
