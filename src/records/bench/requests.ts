/** What a page or a program may ask the bench to do: one deed, signed, with a token of the sender's own. */
import * as z from 'zod';
import { countOf, label, within } from '../fields.ts';
import { PASSPORT_PARTS } from './passport-parts.ts';
import { planFields } from './plan.ts';
import { RETURN_CAUSES } from './return-causes.ts';
import { PART_KINDS } from './stores.ts';
import { evidenceSetAside, orderPlaced, paperNoted, REGIONS, UNIT_FIELDS, type UnitField } from './units.ts';
import { count, currency, day, key, minor, moment, person, remark } from './words.ts';

/** As it was typed or scanned: hyphens and small letters are mended by whoever looks it up. */
const typedSerial = () => z.string().min(1).max(64).describe('Serial of a unit, however it is typed');
const time_s = () => within('a time in seconds', 0, 1e6).optional();

/** A measurement as the file that the instrument wrote. It is read on the spot; its name and digest are kept. */
const evidence = z
  .strictObject({ name: label(), text: z.string().min(1).max(900_000) })
  .describe('The measurement as a file: an antenna sweep (.s1p)');

const signed = {
  by: person(),
  token: z
    .string()
    .regex(/^[0-9A-Za-z-]{8,80}$/, { error: 'a token has 8 to 80 letters, digits and hyphens' })
    .describe('Of the sender’s own making: what is sent again with the same token is done once'),
  notedAt: moment()
    .optional()
    .describe('When the hand did it, by the clock of its own device; kept beside the time of writing'),
};
const deed = <D extends string, S extends z.ZodRawShape>(name: D, shape: S) =>
  z.strictObject({ deed: z.literal(name), ...signed, ...shape });

/** How a unit leaves. */
const leaves = {
  rested_V: within('a rested voltage', 1, 60).optional(),
  temperature_degC: within('a temperature', -40, 80).optional(),
  charge_pct: within('a state of charge', 0, 100).optional(),
  chargeTold: z.boolean().optional().describe('The carrier’s current rules allow more than 30 % charge'),
  packing: z
    .enum(['contained', 'with equipment', 'alone'])
    .optional()
    .describe('Where the cells are, for the rule that their charge is held against; left out: contained'),
  carrier: label().optional(),
};
const { kind: _, ...orderFields } = orderPlaced.shape;
const { kind: _paper, ...paperFields } = paperNoted.shape;
const { kind: _aside, ...asideFields } = evidenceSetAside.shape;

export const deedRequest = z.discriminatedUnion('deed', [
  deed('tick', {
    unit: typedSerial(),
    step: key('step'),
    time_s: time_s(),
    partsLeft: z
      .boolean()
      .optional()
      .describe('Leaves the stores alone; else the parts of the step are taken from the oldest lots'),
  }),
  deed('untick', { unit: typedSerial(), step: key('step') }),
  deed('measure', {
    unit: typedSerial(),
    gate: key('gate'),
    value: z.union([z.number(), z.boolean(), label()]).optional(),
    file: evidence.optional(),
    instrument: label().optional(),
    uncertainty: z.number().min(0).optional().describe('Expanded uncertainty, in place of the one of the gate'),
    note: remark('a note').optional(),
    correct: z.boolean().optional().describe('Takes the place of the last measurement, which was written down wrongly'),
  }),
  deed('override', { unit: typedSerial(), gate: key('gate'), name: label(), reason: remark('a reason') }),
  deed('rework', {
    unit: typedSerial(),
    reason: remark('a reason'),
    gates: z.array(key('gate')).max(100).optional().describe('Left out: those that failed'),
    steps: z.array(key('step')).max(100).optional(),
  }),
  deed('fit', {
    unit: typedSerial(),
    part: key('part').optional().describe('Left out: all parts of the next step'),
    lot: key('lot').optional().describe('Left out: the oldest that has enough and is not quarantined'),
    count: count('the number fitted').optional(),
    short: z.boolean().optional(),
  }),
  deed('take-out', {
    unit: typedSerial(),
    part: key('part'),
    lot: key('lot'),
    count: count('the number taken out').optional(),
    to: z.enum(['stores', 'scrap']),
  }),
  deed('note-measured', {
    unit: typedSerial(),
    field: z.enum(Object.keys(UNIT_FIELDS) as [UnitField, ...UnitField[]]),
    value: z.number(),
    low: z.number().optional(),
    high: z.number().optional(),
    how: remark('how it was measured', 500),
    file: z
      .strictObject({ name: label(), sha256: z.string().regex(/^[0-9a-f]{64}$/) })
      .optional()
      .describe('The log that it was read from'),
  }),
  deed('publish-passport', {
    unit: typedSerial(),
    show: z
      .array(z.enum(PASSPORT_PARTS))
      .max(PASSPORT_PARTS.length)
      .describe('What its page shows; nothing takes it back'),
  }),
  deed('keep-key', { unit: typedSerial(), name: label(), value: remark('a key', 4000) }),
  deed('reserve', { order: key('order'), units: z.array(typedSerial()).min(1).max(500) }),
  deed('free', { unit: typedSerial() }),
  deed('ship', {
    unit: typedSerial(),
    order: key('order').optional(),
    ...leaves,
  }),
  deed('return', {
    unit: typedSerial(),
    reason: remark('a reason'),
    cause: z.enum(RETURN_CAUSES).optional().describe('What the customer tells'),
  }),
  deed('repair', {
    unit: typedSerial(),
    what: remark('what was done'),
    cause: z.enum(RETURN_CAUSES).optional().describe('What it was, once somebody has looked'),
    time_s: time_s(),
    gates: z.array(key('gate')).max(100).optional().describe('Gates that are measured again; left out: all required'),
  }),
  deed('swap', { unit: typedSerial(), for: typedSerial(), ...leaves }),
  deed('install', { unit: typedSerial(), perch: key('perch').describe('Perch of the workshop') }),
  deed('scrap', { unit: typedSerial(), reason: remark('a reason') }),
  deed('save-part', {
    part: key('part'),
    name: label(),
    is: z.enum(PART_KINDS).optional(),
    from: z.int().min(0).optional().describe('Number that the change was made from; 0 for a new part'),
  }),
  deed('receive', {
    part: key('part'),
    lot: key('lot').optional(),
    count: count('the number received'),
    supplier: label(),
    supplierLot: label().optional(),
    currency: currency(),
    goods_minor: minor('the price of the goods'),
    freight_minor: minor('freight').optional(),
    duty_minor: minor('duty').optional(),
    fees_minor: minor('fees').optional(),
    note: remark('a note').optional(),
  }),
  deed('draw', { lot: key('lot') }),
  deed('inspect', {
    lot: key('lot'),
    defective: z.array(z.strictObject({ position: z.int().min(1), why: remark('a reason', 200) })).max(2000),
  }),
  deed('quarantine', { lot: key('lot'), reason: remark('a reason') }),
  deed('release', { lot: key('lot'), reason: remark('a reason') }),
  deed('count', { lot: key('lot'), counted: count('what was counted', 0), note: remark('a note').optional() }),
  deed('move', {
    lot: key('lot'),
    change: countOf('a movement', -1_000_000, 1_000_000),
    why: z.enum(['scrapped', 'sold as parts', 'lent', 'given back', 'sent back']),
    note: remark('a note').optional(),
    short: z.boolean().optional(),
  }),
  deed('save-plan', {
    plan: key('plan'),
    value: planFields.omit({ kind: true }),
    from: z.int().min(0).optional().describe('Number that the change was made from; 0 for a new plan'),
  }),
  deed('open-batch', {
    batch: key('batch'),
    name: label().optional(),
    plan: key('plan'),
    count: countOf('the number of units', 1, 5000),
    region: z.enum(REGIONS).optional(),
    prefix: z.string().max(17).optional(),
    due: day().optional(),
  }),
  deed('close-batch', { batch: key('batch'), reason: remark('a reason').optional() }),
  deed('note-paper', { batch: key('batch'), ...paperFields }),
  deed('set-evidence-aside', { batch: key('batch'), ...asideFields }),
  deed('place-order', { order: key('order'), ...orderFields }),
  deed('cancel-order', { order: key('order'), reason: remark('a reason').optional() }),
]);
export type DeedRequest = z.output<typeof deedRequest>;
export type DeedName = DeedRequest['deed'];
