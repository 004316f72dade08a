/** Assumptions about cost, price and demand, as a file says them: what the bench has not measured, or plans without a bench. */
import * as z from 'zod';
import { asShare, countOf, label, within } from '../fields.ts';
import { type RecordSource, readFields } from '../read.ts';
import { currency, key, minor } from './words.ts';

/** A number, or what one can say of a guess. `of` gives the schema of the number itself. */
const guess = (of: z.ZodNumber, what: string) =>
  z
    .union(
      [
        of,
        z
          .strictObject({ low: of, likely: of, high: of })
          .refine((g) => g.low <= g.likely && g.likely <= g.high, { error: `${what}: low, likely and high rise` }),
        z.strictObject({ mean: of, sd: z.number().min(0) }),
        z.strictObject({ values: z.array(of).min(1).max(1000) }),
      ],
      { error: `${what} is a number within its limits, or low, likely and high, or mean and sd, or a list of values` },
    )
    .describe(`${what}: a number, or low, likely and high, or mean and sd, or values seen`);

const share = (what: string) => within(what, 0, 1, asShare);
const sum = (what: string) => guess(z.number().min(0).max(1e12), what);
const yieldShare = () => guess(z.number().min(0.01).max(1), 'the share that comes out good').default(1);
const minutes = (what: string) => within(what, 0, 100_000);

const option = z.strictObject({
  fixed_minor: sum('what is paid once'),
  unit_minor: sum('the price of a piece'),
  yieldShare: yieldShare(),
});

const way = z.strictObject({
  key: key('way'),
  name: label(),
  parts_minor: sum('the price of the parts'),
  labour_min: minutes('the work on one'),
  support_min: minutes('the time that a customer asks for').default(0).describe('For each one sold, on average'),
  returnShare: share('the share that comes back').default(0),
  returnCost_minor: sum('the cost of a return').default(0),
  packing_minor: sum('packing').default(0),
  yieldShare: yieldShare(),
  price_minor: minor('a price').optional().describe('Net price; absent: from the margin'),
  demand_month: within('a demand a month', 0, 1e6).optional().describe('Pieces a month; absent: that of `demand`'),
});

const fields = z.strictObject({
  $schema: z.string().optional(),
  currency: currency(),
  rates: z
    .record(z.string().regex(/^[A-Z]{3}$/), z.number().positive())
    .default({})
    .describe('Of the currency above for one of each other currency'),
  unit: z
    .strictObject({
      name: label().default('unit'),
      material_minor: sum('the price of the parts'),
      labour_min: minutes('the work on the first one'),
    })
    .optional()
    .describe('What goes into one, where no batch or plan of the bench is named'),
  labour: z
    .strictObject({
      rate_minor_h: minor('the price of an hour'),
      model: z
        .enum(['unit', 'average'])
        .default('unit')
        .describe(
          'unit: the time of the 2n-th over that of the n-th; average: the same of the mean of the first 2n and n',
        ),
      learningRate: within('a learning rate', 0.51, 1).default(1),
      madeBefore: countOf('the number made before', 0, 1e6).default(0),
    })
    .optional(),
  batch: countOf('the size of a batch', 1, 100_000).default(60),
  yieldShare: guess(z.number().min(0.01).max(1), 'the share that comes out good').optional(),
  returns: z
    .strictObject({ share: share('the share that comes back').optional(), cost_minor: sum('the cost of a return') })
    .optional(),
  fees: z
    .strictObject({
      share: share('the share of the price that is taken').default(0),
      fixed_minor: minor('a fee').default(0),
    })
    .default({ share: 0, fixed_minor: 0 }),
  tax_pct: within('a tax in per cent', 0, 100).default(0).describe('On top of the net price'),
  price_minor: minor('a price').optional().describe('Net price'),
  margin: within('a margin', 0, 0.95, asShare).optional(),
  fixed_minor: minor('what is paid whatever is sold').default(0),
  salvage_minor: minor('what a unit left over still brings').default(0),
  demand: z
    .strictObject({
      months: z
        .array(countOf('pieces in a month', 0, 1e6))
        .min(1)
        .max(240)
        .describe('Pieces asked for, month by month'),
      ahead_months: within('months ahead', 0.25, 60).default(6).describe('How long the next batch is to last'),
      lead_months: within('a lead time in months', 0.05, 24).default(1.5),
      leadSpread_months: within('the spread of a lead time', 0, 12).default(0),
      service: within('the chance of lasting', 0.5, 0.9999).default(0.95),
    })
    .optional(),
  housing: z
    .strictObject({
      bought: option.describe('Housings bought in'),
      tool: option.describe('An own tool: paid once, then by the piece'),
      demand: guess(z.number().min(0).max(1e6), 'housings wanted over the life of the tool'),
    })
    .optional(),
  ways: z.array(way).max(8).default([]).describe('Ways to sell the same kit'),
});

export type CostFile = Omit<z.output<typeof fields>, '$schema'>;
export type CostWay = z.output<typeof way>;
export type Guess = z.output<ReturnType<typeof sum>>;

/**
 * Assumptions about cost from their parsed file.
 *
 * @throws UserError with every problem of the file, each with file, line, column and field
 */
export function readCost(source: RecordSource): CostFile {
  const { $schema: _, ...file } = readFields(source, 'cost', fields);
  return file;
}
