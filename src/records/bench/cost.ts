/** Assumptions about cost, price and demand, as a file says them: what the bench has not measured, or plans without a bench. */
import * as z from 'zod';
import { asShare, countOf, label, within } from '../fields.ts';
import { type RecordSource, readFields } from '../read.ts';
import { currency, day, key, minor } from './words.ts';

/** A number, or what one can say of a guess; every figure of it within the limits. */
function guess(what: string, low: number, high: number, hint?: (value: number) => string | undefined) {
  const of = within(what, low, high, hint);
  const list = { error: `a list of what was seen of ${what} has 1 to 1,000 values` };
  return z
    .union([
      of,
      z.strictObject({ low: of, likely: of, high: of }).superRefine((g, context) => {
        if (g.low > g.likely || g.likely > g.high)
          context.addIssue({
            code: 'custom',
            params: { code: 'order' },
            message: `${what} is guessed as ${g.low}, ${g.likely}, ${g.high}: low, likely and high rise; change the two that stand the wrong way round`,
          });
      }),
      z.strictObject({ mean: of, sd: within(`the spread of ${what}`, 0, high) }),
      z.strictObject({ values: z.array(of).min(1, list).max(1000, list) }),
    ])
    .describe(`${what}: a number, or low, likely and high, or mean and sd, or values seen`);
}

const share = (what: string) => within(what, 0, 1, asShare);
const sum = (what: string) => guess(what, 0, 1e12);
const goodShare = () => guess('the share that comes out good', 0.01, 1, asShare);
const yieldShare = () => goodShare().default(1);
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

const rateOfDay = z.strictObject({ rate: within('a rate of exchange', 1e-9, 1e9), on: day() });

const fields = z.strictObject({
  $schema: z.string().optional(),
  currency: currency(),
  rates: z
    .record(
      currency(),
      z.union([rateOfDay, z.number()]).transform((told, context) => {
        if (typeof told !== 'number') return told;
        const message = `a rate holds on a day: write { rate: ${told}, on: 2026-11-25 } with the day of yours`;
        context.addIssue({ code: 'custom', message });
        return z.NEVER;
      }),
    )
    .default({})
    .describe('What one of another currency is worth in the currency above, and the day of that rate'),
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
  yieldShare: goodShare().optional(),
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
  target_minor: minor('a profit that is wanted')
    .default(0)
    .describe('For the break-even: earned on top of what is paid once'),
  salvage_minor: minor('what a unit left over still brings').default(0),
  demand: z
    .strictObject({
      months: z
        .array(countOf('pieces in a month', 0, 1e6))
        .min(1, { error: 'demand is a list of pieces, month by month, with at least one month, such as [4, 7, 5]' })
        .max(240, { error: 'demand has at most 240 months' })
        .optional()
        .describe('Pieces asked for, month by month'),
      pieces: guess('the demand over the months ahead', 0, 100_000)
        .optional()
        .describe('In place of months: a guess of the pieces over the months ahead'),
      ahead_months: within('months ahead', 0.25, 60).default(6).describe('How long the next batch is to last'),
      lead_months: within('a lead time in months', 0.05, 24).default(1.5),
      leadSpread_months: within('the spread of a lead time', 0, 12).default(0),
      service: within('the chance of lasting', 0.5, 0.9999, asShare).default(0.95),
    })
    .refine((d) => (d.months === undefined) !== (d.pieces === undefined), {
      error: 'demand is told by months or by pieces: give one of the two',
    })
    .optional(),
  housing: z
    .strictObject({
      bought: option.describe('Housings bought in'),
      tool: option.describe('An own tool: paid once, then by the piece'),
      demand: guess('the number of housings over the life of the tool', 0, 1e6),
      years: countOf('the life of a tool in years', 1, 30)
        .default(3)
        .describe('Years over which the demand is spread evenly'),
      interest_pct: within('an interest in per cent a year', 0, 100)
        .default(0)
        .describe('What money earns elsewhere: what is saved later counts for less'),
    })
    .optional(),
  order: z
    .strictObject({
      demand_year: within('the pieces in a year', 1e-3, 1e9).optional().describe('Absent: from the orders for units'),
      order_minor: minor('what an order costs').describe('Work, freight and fees of one order, whatever its size'),
      holding: within('the share of the price that keeping costs', 1e-4, 10)
        .optional()
        .describe('Of the price of a piece, a year: money, room, what spoils'),
      holding_minor: within('what keeping one piece costs a year', 1e-6, 1e9).optional(),
      breaks: z
        .array(
          z.strictObject({
            from: countOf('the smallest number at this price', 1, 1e9),
            price_minor: minor('a price'),
            per: countOf('the number that the price is for', 1, 1e6).default(1),
          }),
        )
        .max(20)
        .default([])
        .describe('Prices by quantity; absent: those of the offers of the part'),
      days: within('working days in a year', 1, 366).default(365),
      sdDemand_day: within('the spread of the demand of a day', 0, 1e6).default(0),
      lead_days: within('a lead time in days', 0, 730).optional().describe('Absent: that of the offer'),
      leadSpread_days: within('the spread of a lead time in days', 0, 365).optional(),
      service: within('the chance of lasting', 0.5, 0.9999, asShare).default(0.95),
    })
    .refine((o) => (o.holding === undefined) !== (o.holding_minor === undefined), {
      error: 'keeping is told as holding (a share of the price) or as holding_minor (a sum): give one of the two',
    })
    .optional()
    .describe('How many of a part to order at once'),
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
