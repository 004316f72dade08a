/** What the bench's routes take and give. Deeds are checked by the schema of the records; here they only get a name. */
import { z } from '@hono/zod-openapi';
import { MOST_HITS } from '../app/bench/search.ts';
import { REGIONS } from '../core/path/index.ts';
import { deedRequest, EVIDENCE_TYPES } from '../records/bench/index.ts';
import { problemAnswer } from './schemas.ts';

const named = <S extends z.ZodType>(schema: S, name: string) => schema.openapi(name);
const keys = z.array(z.string());
const moment = z.iso.datetime();
const day = z.iso.date();
const KEY = /^[a-z0-9](?:[a-z0-9.-]{0,62}[a-z0-9])?$/;
const param = (name: string) =>
  z.object({
    [name]: z
      .string()
      .regex(KEY, { error: `the key of a ${name} has 1 to 64 small letters, digits, dots and hyphens` })
      .openapi({ param: { name, in: 'path' } }),
  });

export const batchParam = param('batch') as z.ZodObject<{ batch: z.ZodString }>;
export const lotParam = param('lot') as z.ZodObject<{ lot: z.ZodString }>;
export const planParam = param('plan') as z.ZodObject<{ plan: z.ZodString }>;
export const serialParam = z.object({
  serial: z
    .string()
    .min(1)
    .max(64)
    .openapi({ param: { name: 'serial', in: 'path' }, example: 'A07-012K' }),
});
/** A file that proves a row of a checklist. */
export const keptEvidence = z
  .strictObject({
    paper: z.string(),
    name: z.string(),
    type: z.enum(EVIDENCE_TYPES),
    bytes: z.int(),
    sha256: z.string(),
    at: z.iso.datetime(),
    by: z.string(),
    setAside: z.union([z.strictObject({ reason: z.string(), at: z.iso.datetime(), by: z.string() }), z.null()]),
  })
  .openapi('BenchKeptFile');
export const findQuery = z.object({
  text: z
    .string()
    .max(100)
    .openapi({ param: { name: 'text', in: 'query' } }),
});
export const orderingQuery = z.object({
  units: z
    .string()
    .regex(/^[1-9]\d{0,4}$/, { error: 'units is a whole number from 1 to 99999' })
    .transform(Number)
    .openapi({ param: { name: 'units', in: 'query' }, type: 'string' }),
  region: z
    .enum(REGIONS)
    .optional()
    .openapi({ param: { name: 'region', in: 'query' }, description: 'Region whose variant is built' }),
  due: day.optional().openapi({ param: { name: 'due', in: 'query' } }),
});
export const allQuery = z.object({
  all: z
    .literal('1')
    .optional()
    .openapi({ param: { name: 'all', in: 'query' }, description: 'Empty lots too' }),
});

// Made anew here: only schemas made by this package's zod can be named in the document.
export const deedBody = named(z.discriminatedUnion('deed', deedRequest.options), 'BenchDeed');

const standing = z.enum(['at the bench', 'stopped', 'kept back', 'ready', 'shipped', 'returned', 'scrapped']);
const counts = z.record(standing, z.int().min(0));
const gateValue = z.union([z.number(), z.boolean(), z.string()]);

const orderRow = named(
  z.strictObject({
    order: z.string(),
    customer: z.string(),
    plan: z.string(),
    region: z.string(),
    count: z.int(),
    reserved: keys,
    shipped: keys,
    waits: z.int().min(0),
    due: day.nullable(),
    place: z.string().nullable(),
    cancelled: z.boolean(),
  }),
  'BenchOrder',
);
export const front = named(
  z.strictObject({
    command: z.literal('batch list'),
    verdict: z.string(),
    batches: z.array(
      z.strictObject({
        batch: z.string(),
        name: z.string(),
        plan: z.string(),
        region: z.string(),
        due: day.nullable(),
        closedAt: moment.nullable(),
        count: z.int(),
        counts,
        sentence: z.string(),
      }),
    ),
    orders: z.array(orderRow),
    attention: z.array(
      z.strictObject({
        text: z.string(),
        lot: z.string().optional(),
        unit: z.string().optional(),
        batch: z.string().optional(),
        part: z.string().optional(),
      }),
    ),
    plans: z.array(
      z.strictObject({ plan: z.string(), name: z.string(), number: z.int(), regions: z.array(z.string()) }),
    ),
  }),
  'BenchFront',
);
const unitRow = z.strictObject({
  serial: z.string(),
  position: z.int(),
  standing,
  stepsDone: z.int(),
  nextStep: z.string().nullable(),
  openGates: keys,
  failedGates: keys,
  overridden: keys,
  order: z.string().nullable(),
  reworks: z.int(),
});
export const batchPage = named(
  z.strictObject({
    said: z.string(),
    counts,
    look: z.looseObject({
      command: z.literal('batch show'),
      verdict: z.string(),
      batch: z.string(),
      steps: z.array(z.strictObject({ key: z.string(), name: z.string(), done: z.int() })),
      gates: z.array(
        z.strictObject({
          key: z.string(),
          name: z.string(),
          passed: z.int(),
          failed: z.int(),
          undecided: z.int(),
          overridden: z.int(),
          open: z.int(),
        }),
      ),
      units: z.array(unitRow),
      keptBackBy: keys,
    }),
  }),
  'BenchBatch',
);
const gateLook = z.strictObject({
  gate: z.string(),
  name: z.string(),
  limit: z.string(),
  unit: z.string(),
  state: z.enum(['open', 'passed', 'failed', 'undecided', 'overridden']),
  required: z.boolean(),
  value: gateValue.nullable(),
  tries: z.array(
    z.strictObject({
      value: gateValue,
      verdict: z.enum(['passed', 'failed', 'undecided']),
      at: moment,
      by: z.string(),
      instrument: z.string().nullable(),
      file: z.string().nullable(),
      counts: z.boolean(),
    }),
  ),
  override: z.strictObject({ name: z.string(), reason: z.string(), at: moment }).nullable(),
});
/** `kindOf` and `measure` help a page to draw the right field. */
const gatesAsked = z.array(
  z.strictObject({
    gate: z.string(),
    value: z.enum(['number', 'yes or no', 'text']),
    measures: z.string(),
    low: z.number().optional(),
    high: z.number().optional(),
    /** Limits of the plan, where the uncertainty draws them in. */
    outerLow: z.number().optional(),
    outerHigh: z.number().optional(),
    equals: z.string().optional(),
  }),
);
export const unitLook = named(
  z.looseObject({
    command: z.literal('unit show'),
    verdict: z.string(),
    serial: z.string(),
    batch: z.string(),
    standing,
    number: z.int(),
    nextStep: z.string().nullable(),
    gates: z.array(gateLook),
    secrets: keys.openapi({ description: 'Names of its keys; their values are in no answer' }),
    whyNotToShip: keys,
  }),
  'BenchUnit',
);
export const unitPage = named(
  z.strictObject({
    unit: unitLook,
    asked: gatesAsked,
    history: z.array(
      z.strictObject({
        number: z.int(),
        at: moment,
        notedAt: moment.nullable(),
        by: z.string(),
        kind: z.string(),
        what: z.string(),
        file: z.strictObject({ name: z.string(), sha256: z.string() }).nullable(),
        corrects: z.int().nullable(),
      }),
    ),
  }),
  'BenchUnitPage',
);
const storedLot = z.strictObject({
  key: z.string(),
  supplier: z.string(),
  receivedAt: moment,
  received: z.int(),
  left: z.int(),
  quarantined: z.string().nullable(),
  inspection: z.enum(['accepted', 'refused', 'drawn', 'due', 'none asked']),
  unitsWith: z.int(),
});
export const stores = named(
  z.strictObject({
    command: z.literal('stores list'),
    verdict: z.string(),
    parts: z.array(
      z.strictObject({
        part: z.string(),
        name: z.string(),
        measured: z.string(),
        free: z.int(),
        quarantined: z.int(),
        lots: z.array(storedLot),
      }),
    ),
    short: keys,
  }),
  'BenchStores',
);
export const lotPage = named(
  z.strictObject({
    recall: z.looseObject({
      command: z.literal('stores recall'),
      verdict: z.string(),
      lot: z.string(),
      part: z.string(),
      quarantined: z.string().nullable(),
      left: z.int(),
      units: z.array(
        z.strictObject({
          serial: z.string(),
          batch: z.string(),
          count: z.int(),
          stage: z.string(),
          shippedAt: moment.nullable(),
          order: z.string().nullable(),
          customer: z.string().nullable(),
        }),
      ),
    }),
    movements: z.array(
      z.strictObject({
        at: moment,
        by: z.string(),
        change: z.int(),
        why: z.string(),
        unit: z.string().nullable(),
        note: z.string().nullable(),
        left: z.int(),
      }),
    ),
    inspections: z.array(
      z.looseObject({
        drawn: z.array(z.int()),
        sample: z.int(),
        accept: z.int(),
        reject: z.int(),
        drawnAt: moment,
        found: z.looseObject({ verdict: z.string(), at: moment, by: z.string() }).nullable(),
      }),
    ),
    next: z.strictObject({
      severity: z.enum(['normal', 'tightened', 'reduced']),
      stop: z.boolean(),
      lots: z.int(),
      why: z.string(),
    }),
  }),
  'BenchLot',
);
export const ordering = named(
  z.looseObject({
    command: z.literal('stores order'),
    verdict: z.string(),
    plan: z.string(),
    region: z.union([z.string(), z.null()]),
    units: z.int(),
    lines: z.array(z.looseObject({ part: z.string(), need: z.int(), free: z.int(), missing: z.int() })),
    suppliers: z.array(z.looseObject({ supplier: z.string(), currency: z.string(), total_minor: z.int() })),
    withoutOffer: keys,
    late: keys,
    assumptions: keys,
  }),
  'BenchOrdering',
);
export const found = named(
  z.strictObject({
    text: z.string(),
    hits: z
      .array(
        z.strictObject({
          kind: z.enum(['unit', 'batch', 'lot', 'part', 'order']),
          key: z.string(),
          said: z.string(),
        }),
      )
      .max(MOST_HITS),
    more: z.int().min(0),
  }),
  'BenchFound',
);
const share = z.strictObject({ mean: z.number(), low: z.number(), high: z.number() });
const shareOrNull = () => z.union([share, z.null()]);
export const quality = named(
  z.strictObject({
    command: z.literal('batch quality'),
    verdict: z.string(),
    batch: z.string(),
    units: z.int(),
    gates: z.array(
      z.strictObject({
        gate: z.string(),
        name: z.string(),
        measured: z.int(),
        undecided: z.int(),
        passedFirst: z.int(),
        passedFinally: z.int(),
        firstPass: shareOrNull(),
      }),
    ),
    through: z.strictObject({ measured: z.int(), atOnce: z.int(), share: shareOrNull() }),
    rolled: z.number().nullable(),
    defectsPerUnit: z.number().nullable(),
    few: z.string().nullable(),
    failures: z.array(
      z.strictObject({
        gate: z.string(),
        name: z.string(),
        count: z.int(),
        share: z.number(),
        cumulative: z.number(),
      }),
    ),
    returns: z.strictObject({
      shipped: z.int(),
      returned: z.int(),
      times: z.int(),
      share: shareOrNull(),
      causes: z.array(z.strictObject({ cause: z.string(), count: z.int() })),
    }),
    charts: z.array(
      z.looseObject({
        gate: z.string(),
        name: z.string(),
        unit: z.string(),
        serials: keys,
        values: z.array(z.number()),
        centre: z.number(),
        lower: z.number(),
        upper: z.number(),
        sigma: z.number(),
        low: z.number().nullable(),
        high: z.number().nullable(),
        signals: z.array(z.strictObject({ serial: z.string(), index: z.int(), rules: keys })),
        lagOne: z.number().nullable(),
        beyondChance: z.boolean(),
        capability: z.union([z.looseObject({ cpk: z.number(), cpkLow: z.number(), cpkHigh: z.number() }), z.null()]),
      }),
    ),
    notes: keys,
  }),
  'BenchQuality',
);
const unitOrNull = () => z.union([unitLook, z.null()]);
export const deedAnswer = named(
  z.strictObject({
    /** Empty when the same token was kept before. */
    written: z.array(
      z.strictObject({
        seq: z.int(),
        stream: z.string(),
        number: z.int(),
        at: moment,
        by: z.string(),
        kind: z.string(),
      }),
    ),
    again: z.boolean().openapi({ description: 'This token was kept before: nothing was written now' }),
    unit: unitOrNull(),
    said: z.string(),
    notes: keys.openapi({ description: 'Of a unit that left: its charge, and what is known of its place' }),
  }),
  'BenchDeedAnswer',
);
export const deedConflict = named(
  z.strictObject({
    problems: problemAnswer.shape.problems,
    unit: unitOrNull().openapi({ description: 'The unit as it stands, so that one sees what others did' }),
  }),
  'BenchDeedConflict',
);
export const measured = named(
  z.strictObject({
    unit: z.string(),
    verdict: z.string(),
    values: z.array(
      z.strictObject({
        field: z.string(),
        value: z.number(),
        low: z.number().optional(),
        high: z.number().optional(),
        how: z.string(),
        file: z.strictObject({ name: z.string(), sha256: z.string() }).optional(),
      }),
    ),
    notes: keys,
    assumptions: z.array(z.strictObject({ field: z.string(), value: z.string(), why: z.string() })),
  }),
  'BenchMeasured',
);
export const passport = named(
  z.strictObject({
    serial: z.string(),
    show: keys,
    page: z.string(),
    address: z.string().nullable().openapi({ description: 'Where the code on its label leads' }),
  }),
  'BenchPassport',
);
export const tables = named(z.strictObject({ tables: z.record(z.string(), z.string()) }), 'BenchTables');
export const imported = named(
  z.strictObject({
    command: z.literal('stores import'),
    verdict: z.string(),
    table: z.string(),
    rows: z.int().min(0),
    fresh: z.int().min(0),
    same: z.int().min(0),
    elsewhere: z.int().min(0),
    skipped: z.array(z.int()),
    mapped: z.record(z.string(), z.string()),
    unread: keys,
    problems: z.array(z.strictObject({ row: z.int(), message: z.string() })),
    preview: z.array(z.record(z.string(), z.unknown())),
    kept: z.boolean(),
  }),
  'BenchImport',
);
