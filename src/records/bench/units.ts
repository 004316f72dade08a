/** What happens to batches, orders and units. */
import * as z from 'zod';
import { countOf, label, within } from '../fields.ts';
import { EVIDENCE_MOST_bytes } from './evidence-limit.ts';
import { RETURN_CAUSES } from './return-causes.ts';
import { count, currency, day, key, minor, moment, remark, serial } from './words.ts';

export const REGIONS = ['US', 'EU', 'UK', 'AU', 'NZ', 'JP', 'IN'] as const;

/** What serials begin with. */
export const PREFIX = /^[0-9A-Z]{1,8}(?:-[0-9A-Z]{1,8})?$/;

export const batchOpened = z.strictObject({
  kind: z.literal('batch-opened'),
  name: label(),
  plan: key('plan'),
  /** Number of the plan's entry that this batch is built by: a later plan does not change it. */
  planNumber: z.int().min(1),
  count: countOf('the number of units', 1, 100_000),
  region: z.enum(REGIONS).default('EU'),
  prefix: z
    .string()
    .regex(PREFIX, {
      error: 'a prefix has 1 to 8 capitals and digits, such as A07; a hyphen may part two such',
    })
    .describe('Serials begin with it'),
  due: day().optional(),
});
export const batchClosed = z.strictObject({ kind: z.literal('batch-closed'), reason: remark('a reason').optional() });

/** A paper of the market's checklist with its evidence. */
export const paperNoted = z.strictObject({
  kind: z.literal('paper-noted'),
  paper: label().describe('Row of the checklist'),
  state: z.enum(['there', 'asked for', 'not needed', 'missing']),
  evidence: remark('the evidence').optional().describe('File name, number of a report, address'),
});

/** What a kept file may be, told by its bytes, never by its name. */
export const EVIDENCE_TYPES = ['application/pdf', 'image/jpeg', 'image/png', 'text/plain'] as const;
export type EvidenceType = (typeof EVIDENCE_TYPES)[number];
const digest = () => z.string().regex(/^[0-9a-f]{64}$/, { error: 'a digest is 64 hexadecimal digits' });

/** A file that proves a row of the checklist; its bytes are kept under the digest. */
export const evidenceKept = z.strictObject({
  kind: z.literal('evidence-kept'),
  paper: label().describe('Row of the checklist'),
  name: label().describe('Name of the file, without its folder'),
  type: z.enum(EVIDENCE_TYPES),
  bytes: countOf('the size of a file', 1, EVIDENCE_MOST_bytes),
  sha256: digest(),
});
/** What may be shown at a step. */
export const DRAWING_TYPES = ['image/jpeg', 'image/png', 'application/pdf'] as const;
/** Drawing or photo of a step of a plan, shown at the bench; its bytes are kept under the digest. The newest one counts, for all numbers of the plan. */
export const drawingKept = z.strictObject({
  kind: z.literal('drawing-kept'),
  step: key('step'),
  name: label().describe('Name of the file, without its folder'),
  type: z.enum(DRAWING_TYPES),
  bytes: countOf('the size of a file', 1, EVIDENCE_MOST_bytes),
  sha256: digest(),
});
/** The file no longer proves its row; its bytes stay. */
export const evidenceSetAside = z.strictObject({
  kind: z.literal('evidence-set-aside'),
  paper: label().describe('Row of the checklist'),
  sha256: digest(),
  reason: remark('a reason'),
});

const placeSchema = z.strictObject({
  name: label(),
  latitude_deg: within('a latitude', -90, 90).optional(),
  longitude_deg: within('a longitude', -180, 180).optional(),
});

export const orderPlaced = z.strictObject({
  kind: z.literal('order-placed'),
  customer: label(),
  plan: key('plan'),
  count: count('the number ordered'),
  region: z.enum(REGIONS),
  place: placeSchema.optional(),
  due: day().optional(),
  price_minor: minor('a price').optional().describe('For a unit'),
  currency: currency().optional(),
  note: remark('a note').optional(),
});
export const orderCancelled = z.strictObject({
  kind: z.literal('order-cancelled'),
  reason: remark('a reason').optional(),
});

export const unitMade = z.strictObject({
  kind: z.literal('unit-made'),
  batch: key('batch'),
  position: z.int().min(1),
});
export const partFitted = z.strictObject({
  kind: z.literal('part-fitted'),
  part: key('part'),
  lot: key('lot'),
  count: count('the number fitted'),
});
export const partTakenOut = z.strictObject({
  kind: z.literal('part-taken-out'),
  part: key('part'),
  lot: key('lot'),
  count: count('the number taken out'),
  to: z.enum(['stores', 'scrap']),
});
export const stepTicked = z.strictObject({
  kind: z.literal('step-ticked'),
  step: key('step'),
  time_s: within('a time in seconds', 0, 1e6).optional().describe('How long it took, measured'),
});
/** The undo of a tick: the tick stays in the record. */
export const stepUnticked = z.strictObject({ kind: z.literal('step-unticked'), step: key('step') });

export const gateMeasured = z.strictObject({
  kind: z.literal('gate-measured'),
  gate: key('gate'),
  value: z.union([z.number(), z.boolean(), label()]),
  verdict: z
    .enum(['passed', 'failed', 'undecided'])
    .describe('undecided: inside the limit, but not by as much as the measurement is uncertain; the gate stays open'),
  low: z.number().optional().describe('Limits that it was judged by, drawn in by the uncertainty'),
  high: z.number().optional(),
  uncertainty: z
    .number()
    .min(0)
    .optional()
    .describe('Expanded uncertainty told with it, in place of the one of the gate'),
  instrument: label().optional(),
  file: z
    .strictObject({ name: label(), sha256: z.string().regex(/^[0-9a-f]{64}$/) })
    .optional()
    .describe('The measurement as a file: a sweep, a log'),
  note: remark('a note').optional(),
  measuredAt: moment().optional().describe('When, where it was written down later'),
});
export const gateOverridden = z.strictObject({
  kind: z.literal('gate-overridden'),
  gate: key('gate'),
  name: label().describe('Who answers for it'),
  reason: remark('a reason'),
});
export const reworkBegun = z.strictObject({
  kind: z.literal('rework-begun'),
  reason: remark('a reason'),
  gates: z.array(key('gate')).min(1, { error: 'a rework names the gates that are measured again' }).max(100),
  steps: z.array(key('step')).max(100).default([]).describe('Steps that are done again'),
});
export const unitReserved = z.strictObject({ kind: z.literal('unit-reserved'), order: key('order') });
export const unitFreed = z.strictObject({ kind: z.literal('unit-freed') });

export const unitShipped = z.strictObject({
  kind: z.literal('unit-shipped'),
  order: key('order').optional(),
  rested_V: within('a rested voltage', 1, 60).optional(),
  temperature_degC: within('a temperature', -40, 80).optional(),
  charge_pct: within('a state of charge', 0, 100).optional(),
  carrier: label().optional(),
});
const cause = () => z.enum(RETURN_CAUSES).optional();

export const unitReturned = z.strictObject({
  kind: z.literal('unit-returned'),
  reason: remark('a reason'),
  cause: cause().describe('What the customer tells'),
});
export const unitRepaired = z.strictObject({
  kind: z.literal('unit-repaired'),
  what: remark('what was done'),
  cause: cause().describe('What it was, once somebody has looked: takes the place of what the customer told'),
  time_s: within('a time in seconds', 0, 1e6).optional(),
});
export const unitSwapped = z.strictObject({ kind: z.literal('unit-swapped'), for: serial() });
/** Where it stands: a perch of the workshop. The newest one counts. */
export const unitInstalled = z.strictObject({ kind: z.literal('unit-installed'), perch: key('perch') });
export const unitScrapped = z.strictObject({ kind: z.literal('unit-scrapped'), reason: remark('a reason') });

/** Fields of a kit that a measurement of the unit itself replaces in its forecast. */
export const UNIT_FIELDS = {
  sleepCurrent_uA: 'sleep current, µA',
  receiveCurrent_mA: 'receive current, mA',
  cellCapacity_mAh: 'capacity of one cell, mAh',
  cellResistance_mOhm: 'resistance of one cell, mΩ',
  ceiling_V: 'ceiling, V',
  cutoff_V: 'cut-off, V',
  reconnect_V: 'reconnect, V',
  panel_W: 'power of the panel at standard conditions, W',
  vswr: 'worst standing-wave ratio in the band',
  transmitPower_dBm: 'transmit power at the connector, dBm',
  loadAverage_mA: 'average of the load, mA',
} as const;
export type UnitField = keyof typeof UNIT_FIELDS;

export const unitMeasured = z.strictObject({
  kind: z.literal('unit-measured'),
  field: z.enum(Object.keys(UNIT_FIELDS) as [UnitField, ...UnitField[]]),
  value: z.number(),
  low: z.number().optional().describe('Interval of 95 %'),
  high: z.number().optional(),
  how: remark('how it was measured', 500),
  file: z.strictObject({ name: label(), sha256: z.string().regex(/^[0-9a-f]{64}$/) }).optional(),
});
/** A key of the unit's radio. It never leaves the workshop: no label, export, certificate or passport shows its value. */
export const secretKept = z.strictObject({
  kind: z.literal('secret-kept'),
  name: label(),
  value: remark('a key', 4000),
});
export const passportPublished = z.strictObject({
  kind: z.literal('passport-published'),
  show: z
    .array(z.enum(['kit', 'made', 'gates', 'lots', 'papers', 'forecast', 'care', 'shipped']))
    .describe('What the maker chose to show'),
});
