/** What the stores hold: parts with their offers, and lots with every movement. */
import * as z from 'zod';
import { label, within } from '../fields.ts';
import { REGIONS } from './units.ts';
import { count, currency, day, key, minor, moment, percent, remark } from './words.ts';

export const PART_KINDS = [
  'cell',
  'panel',
  'charger',
  'radio',
  'antenna',
  'housing',
  'board',
  'fastener',
  'packing',
  'other',
] as const;

const LEVELS = ['S-1', 'S-2', 'S-3', 'S-4', 'I', 'II', 'III'] as const;

/** A supplier's price for a part. */
export const offerSchema = z.strictObject({
  supplier: label(),
  currency: currency(),
  breaks: z
    .array(
      z.strictObject({
        from: count('the smallest number at this price'),
        price_minor: minor('a price'),
        per: count('the number that the price is for').default(1),
      }),
    )
    .min(1, { error: 'an offer has at least one price' })
    .max(20)
    .describe('Prices by quantity: from this number on, the price for `per` pieces'),
  minimum: count('a minimum order').default(1),
  pack: count('a pack').default(1).describe('Sold in multiples of this'),
  leadTime_d: within('a lead time in days', 0, 730),
  leadTimeSpread_d: within('the spread of a lead time in days', 0, 365).default(0),
  freight_minor: minor('freight').default(0).describe('For each order, whatever its size'),
  duty_pct: percent('a duty').default(0).describe('Of the value of the goods and the freight'),
  fees_minor: minor('fees').default(0).describe('For each order'),
  asked: day().optional().describe('Day of the offer'),
});
export type Offer = z.output<typeof offerSchema>;

export const partFields = z.strictObject({
  kind: z.literal('part-saved'),
  name: label(),
  is: z.enum(PART_KINDS).default('other'),
  measured: z.enum(['piece', 'mm', 'g']).default('piece').describe('What is counted: pieces, millimetres or grams'),
  offers: z.array(offerSchema).max(20).default([]),
  inspection: z
    .strictObject({
      level: z.enum(LEVELS),
      aql_pct: within('an acceptance quality limit', 0.01, 1000),
    })
    .optional()
    .describe('Incoming inspection of each lot; absent: none'),
  /** Facts of a cell that a shipment needs. */
  cell: z
    .strictObject({
      capacity_mAh: within('a capacity', 10, 200_000),
      nominal_V: within('a nominal voltage', 1, 4.5),
      lithium: z.boolean().default(true),
    })
    .optional(),
  /** Of a radio module: what it was approved with, by market. */
  approvals: z
    .array(
      z.strictObject({
        region: z.enum(REGIONS),
        grant: label().describe('Number of the certificate or grant'),
        antenna: label().optional().describe('Kind of antenna that it names'),
        gain_dBi: within('a gain in dBi', -30, 40).optional().describe('Greatest gain of that kind'),
      }),
    )
    .max(20)
    .optional()
    .describe('Approvals of a radio module by market'),
  note: remark('a note').optional(),
});

export const partSaved = partFields;

export const lotReceived = z.strictObject({
  kind: z.literal('lot-received'),
  part: key('part'),
  count: count('the number received'),
  supplier: label(),
  supplierLot: label().optional().describe("The supplier's own mark of the lot"),
  currency: currency(),
  goods_minor: minor('the price of the goods'),
  freight_minor: minor('freight').default(0),
  duty_minor: minor('duty').default(0),
  fees_minor: minor('fees').default(0),
  note: remark('a note').optional(),
});

/** What is to be looked at, drawn before anybody looks. */
export const inspectionDrawn = z.strictObject({
  kind: z.literal('inspection-drawn'),
  level: z.enum(LEVELS),
  aql_pct: within('an acceptance quality limit', 0.01, 1000),
  severity: z.enum(['normal', 'tightened', 'reduced']),
  lotSize: count('the size of the lot'),
  letter: z.string().regex(/^[A-HJ-NP-S]$/, { error: 'a code letter is one of A to S without I and O' }),
  sample: count('a sample'),
  accept: count('an acceptance number', 0),
  reject: count('a rejection number'),
  /** Seed of the draw, so that it can be drawn again. */
  seed: z.int().min(0),
  drawn: z.array(z.int().min(1)).describe('Positions within the lot, from 1'),
});

/** What was found among those that were drawn last. */
export const lotInspected = z.strictObject({
  kind: z.literal('lot-inspected'),
  defective: z.array(z.strictObject({ position: z.int().min(1), why: remark('a reason', 200) })).default([]),
  verdict: z.enum(['accepted', 'accepted, then normal', 'refused']),
});

export const lotQuarantined = z.strictObject({ kind: z.literal('lot-quarantined'), reason: remark('a reason') });
export const lotReleased = z.strictObject({ kind: z.literal('lot-released'), reason: remark('a reason') });

/** A movement that is no fitting: what is fitted into a unit stands with the unit. */
export const stockMoved = z.strictObject({
  kind: z.literal('stock-moved'),
  change: z
    .int({ error: 'a movement is a whole number' })
    .min(-1_000_000)
    .max(1_000_000)
    .refine((n) => n !== 0, { error: 'a movement of nothing is none' })
    .describe('Added (positive) or taken (negative)'),
  why: z.enum(['scrapped', 'counted', 'sold as parts', 'lent', 'given back', 'sent back']),
  note: remark('a note').optional(),
  movedAt: moment().optional().describe('When, where it was written down later'),
});
