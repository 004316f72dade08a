/** What the server takes and gives, as schemas: checks of requests and the OpenAPI document come from here. */
import { z } from '@hono/zod-openapi';
import { JOB_COMMANDS, MOST_JOB_YEARS, RADIO_LIMITS, SHADE_ZOOM } from '../app/job-kinds.ts';

const named = <S extends z.ZodType>(schema: S, name: string) => schema.openapi(name);
const list = z.array(z.number());

/** Kind and key of a record in one word. Keys have letters of any script, digits, hyphens and points. */
export const RECORD_ID = /^(kit|perch|net):([\p{L}\p{M}\p{N}]+(?:[-.][\p{L}\p{M}\p{N}]+)*)$/u;
const idText = () =>
  z
    .string()
    .max(100)
    .regex(RECORD_ID, { error: 'an id is kind and key of a record, e.g. kit:alder-3' })
    .openapi({ example: 'kit:alder-3', pattern: RECORD_ID.source });
const note = () => z.string().max(500).optional().openapi({ description: 'One line, kept with the revision' });
const revision = () => z.int().min(1).max(1_000_000_000);

export const kindSchema = z.enum(['kit', 'perch', 'net']).openapi('RecordKind');
export const idParam = z.object({ id: idText().openapi({ param: { name: 'id', in: 'path' } }) });
export const kindParam = z.object({ kind: kindSchema.openapi({ param: { name: 'kind', in: 'path' } }) });
export const jobParam = z.object({ id: z.uuid().openapi({ param: { name: 'id', in: 'path' } }) });
export const keyParam = z.object({
  key: z
    .string()
    .regex(/^[0-9a-f]{64}$/, { error: 'a key of a result is 64 hexadecimal digits' })
    .openapi({ param: { name: 'key', in: 'path' } }),
});
export const fromQuery = z.object({
  from: z
    .string()
    .regex(/^[1-9]\d{0,8}$/, { error: 'from is the number of a revision' })
    .transform(Number)
    .optional()
    .openapi({ param: { name: 'from', in: 'query' }, type: 'string' }),
});
export const kindQuery = z.object({ kind: kindSchema.optional().openapi({ param: { name: 'kind', in: 'query' } }) });

const degrees = (most: number) =>
  z
    .string()
    .regex(/^-?\d{1,3}(\.\d{1,12})?$/, { error: 'degrees as a decimal number are wanted' })
    .transform(Number)
    .refine((value) => Math.abs(value) <= most, { error: `between -${most} and ${most} degrees` });
/** A whole number of a path. */
const whole = (name: string, low: number, high: number) =>
  z
    .string()
    .regex(/^(0|[1-9]\d{0,6})$/, { error: 'a whole number is wanted' })
    .transform(Number)
    .refine((value) => value >= low && value <= high, { error: `between ${low} and ${high}` })
    .openapi({ param: { name, in: 'path' }, type: 'string' });
export const placeQuery = z
  .object({
    latitude_deg: degrees(90)
      .optional()
      .openapi({ param: { name: 'latitude_deg', in: 'query' }, type: 'string' }),
    longitude_deg: degrees(180)
      .optional()
      .openapi({ param: { name: 'longitude_deg', in: 'query' }, type: 'string' }),
  })
  .refine((place) => (place.latitude_deg === undefined) === (place.longitude_deg === undefined), {
    error: 'latitude_deg and longitude_deg belong together',
    path: ['longitude_deg'],
  });

/** The record itself is checked by its own reader, whose sentences tell what is wrong; here it may be anything. */
const RECORDS = ['Kit', 'Perch', 'Net'].map((name) => ({ $ref: `#/components/schemas/${name}` }));
const recordValue = () => z.unknown().openapi({ description: 'The record as its file would say it', anyOf: RECORDS });
const storedValue = () =>
  z.unknown().openapi({
    description: 'As the file says it; null when the record was taken away',
    anyOf: [...RECORDS, { type: 'null' }],
  });
const recordText = () =>
  z.string().max(1_000_000).openapi({ description: 'The file (YAML or JSON), comments and all' });

export const saveRequest = named(
  z.strictObject({
    kind: kindSchema,
    value: recordValue().optional(),
    text: recordText().optional(),
    from: revision().optional().openapi({ description: 'Revision that the change was made from; PUT needs it' }),
    note: note(),
  }),
  'SaveRequest',
);
export const undoRequest = named(
  z.strictObject({ id: idText(), kind: kindSchema.optional(), from: revision().optional() }),
  'UndoRequest',
);
export const checkRequest = named(
  z.strictObject({ value: recordValue().optional(), text: recordText().optional() }),
  'CheckRequest',
);
const point = { latitude_deg: z.number().min(-90).max(90), longitude_deg: z.number().min(-180).max(180) };
const antenna = () => z.number().min(0.1).max(300).openapi({ description: 'Antenna above the ground' });
const { least, most } = RADIO_LIMITS.radius_km;
const radius = () => z.number().min(least).max(most);
const placeInput = named(
  z.strictObject({ name: z.string().min(1).max(100), ...point, height_m: antenna().optional() }),
  'PlaceInput',
);
const placeOrId = () => z.union([idText(), placeInput]);
const candidateInput = named(
  z.strictObject({ ...placeInput.shape, access: z.string().max(300).optional() }),
  'CandidateInput',
);
const textFile = (most: number) => z.strictObject({ name: z.string().min(1).max(200), text: z.string().max(most) });
const inHand = z.union([idText(), z.strictObject({ value: recordValue() })]);
export const jobRequest = named(
  z.strictObject({
    command: z.enum(JOB_COMMANDS),
    kit: inHand.optional().openapi({ description: 'Id of a kit, or a kit that need not be saved' }),
    perch: inHand.optional().openapi({ description: 'Id of a perch, or a perch that need not be saved' }),
    years: z.int().min(1).max(MOST_JOB_YEARS).optional(),
    seed: z.int().min(0).max(Number.MAX_SAFE_INTEGER).optional(),
    target: z.string().max(100).optional().openapi({ example: '1 dark winter in 20' }),
    at: z
      .strictObject({ ...placeInput.shape, name: placeInput.shape.name.optional() })
      .optional()
      .openapi({ description: 'In place of perch: a point of which nothing else is known' }),
    height_m: antenna().optional(),
    to: z
      .union([z.literal('hand-held'), ...inHand.options])
      .optional()
      .openapi({ description: 'The other end: hand-held, or a kit by id or value' }),
    radius_km: radius().optional(),
    targetHeight_m: antenna().optional(),
    detail: z.enum(['coarse', 'full']).optional(),
    places: z.array(placeOrId()).max(RADIO_LIMITS.places).optional(),
    candidates: z
      .array(z.union([idText(), candidateInput]))
      .max(RADIO_LIMITS.candidates)
      .optional(),
    perches: z.array(placeOrId()).max(RADIO_LIMITS.places).optional(),
    area: z.strictObject({ ...point, radius_km: z.number().min(0.2).max(most) }).optional(),
    report: z.boolean().optional().openapi({ description: 'Of reach: its report, for POST /api/report' }),
    region: z.string().max(20).optional().openapi({ example: 'EU' }),
    indoors: z.enum(['traditional', 'efficient']).optional(),
    clutter_m: z.number().min(0).max(60).optional(),
    cover: textFile(RADIO_LIMITS.cover)
      .optional()
      .openapi({ description: 'Ground cover: GeoJSON polygons with a class' }),
    woods_m: z.number().min(0).max(100_000).optional().openapi({ description: 'Wood around the other end' }),
    measured: textFile(RADIO_LIMITS.measured).optional().openapi({ description: 'Measured links: CSV' }),
  }),
  'JobRequest',
);
export const tileParam = z.object({
  z: whole('z', SHADE_ZOOM.least, SHADE_ZOOM.most),
  x: whole('x', 0, 2 ** SHADE_ZOOM.most - 1),
  y: whole('y', 0, 2 ** SHADE_ZOOM.most - 1),
});
export const pointQuery = z.object({
  latitude_deg: degrees(90).openapi({ param: { name: 'latitude_deg', in: 'query' }, type: 'string' }),
  longitude_deg: degrees(180).openapi({ param: { name: 'longitude_deg', in: 'query' }, type: 'string' }),
});
export const raysRequest = named(z.strictObject({ ...point, radius_km: radius().optional() }), 'RaysRequest');
export const profileRequest = named(
  z.strictObject({ from: z.strictObject(point), to: z.strictObject(point) }),
  'ProfileRequest',
);
export const reportRequest = named(
  z.strictObject({
    year: keyParam.shape.key.optional(),
    size: keyParam.shape.key.optional(),
    reach: keyParam.shape.key.optional().openapi({ description: 'Of a reach that was asked for with report' }),
    format: z.enum(['html', 'pdf']).optional().openapi({ description: 'HTML when it is left out' }),
    paper: z.enum(['A4', 'letter']).optional().openapi({ description: 'Of a PDF; A4 when it is left out' }),
  }),
  'ReportRequest',
);
export const logInRequest = named(z.strictObject({ passphrase: z.string().max(1000) }), 'LogInRequest');

const problem = named(
  z.object({
    code: z.string(),
    message: z.string(),
    place: z
      .object({
        file: z.string().optional(),
        line: z.int().optional(),
        column: z.int().optional(),
        field: z.string().optional(),
      })
      .optional(),
  }),
  'Problem',
);
export const problemAnswer = named(z.strictObject({ problems: z.array(problem) }), 'ProblemAnswer');
const assumption = named(z.object({ field: z.string(), value: z.string(), why: z.string() }), 'Assumption');
export const strip = named(z.object({ darkShare: list, lowStateOfCharge: list }), 'YearStrip');

const summaryShape = {
  id: idText(),
  kind: kindSchema,
  name: z.string(),
  revision: revision(),
  saved: z.iso.datetime(),
  strip: strip.nullable(),
  place: z.object({ latitude_deg: z.number(), longitude_deg: z.number() }).optional(),
};
export const recordSummary = named(z.strictObject(summaryShape), 'RecordSummary');
export const storedRecord = named(
  z.strictObject({
    ...summaryShape,
    value: storedValue(),
    text: z.string(),
    assumptions: z.array(assumption),
    removed: z.literal(true).optional(),
  }),
  'StoredRecord',
);
export const revisionSummary = named(
  z.strictObject({
    revision: revision(),
    name: z.string(),
    saved: z.iso.datetime(),
    note: z.string(),
    removed: z.boolean(),
    restores: revision().nullable(),
  }),
  'RevisionSummary',
);
export const overview = named(
  z.strictObject({
    name: z.string(),
    records: z.array(recordSummary),
    attention: z.array(z.strictObject({ text: z.string(), kit: z.string().optional(), perch: z.string().optional() })),
  }),
  'WorkshopOverview',
);
export const staleSave = named(
  z.strictObject({
    code: z.literal('stale'),
    message: z.string(),
    revision: revision(),
    changed: z.array(z.strictObject({ field: z.string(), theirs: z.unknown(), yours: z.unknown() })),
  }),
  'StaleSave',
);
export const checkAnswer = named(
  z.strictObject({ problems: z.array(problem), assumptions: z.array(assumption) }),
  'CheckAnswer',
);
export const jobStatus = named(
  z.strictObject({
    id: z.uuid(),
    command: z.enum([...JOB_COMMANDS, 'place']),
    state: z.enum(['waiting', 'running', 'done', 'failed', 'stopped']),
    done: z.number(),
    total: z.number(),
    what: z.string(),
    key: keyParam.shape.key,
    problems: z.array(problem).optional(),
  }),
  'JobStatus',
);
/** Results are told by the command's own page; here only what all have. */
export const result = named(
  z.looseObject({
    command: z.string().optional(),
    verdict: z.string().optional(),
    outcome: z.looseObject({ command: z.enum(JOB_COMMANDS), verdict: z.string() }).optional(),
    pictures: z.looseObject({}).optional(),
  }),
  'Result',
);
export const sessionAnswer = named(z.strictObject({ passphrase: z.boolean(), open: z.boolean() }), 'SessionAnswer');
const part = named(
  z.strictObject({ id: z.string(), title: z.string(), source: z.string(), fields: z.record(z.string(), z.unknown()) }),
  'Part',
);
export const partsAnswer = named(
  z.strictObject({
    panels: z.array(part),
    cells: z.array(part),
    chargers: z.array(part),
    loads: z.array(part),
  }),
  'PartsAnswer',
);
export const climate = named(
  z.strictObject({
    name: z.string(),
    country: z.string(),
    latitude_deg: z.number(),
    longitude_deg: z.number(),
    elevation_m: z.number(),
    dataset: z.string(),
    ghi_kWh_m2_day: list.length(12),
    temperature_degC: list.length(12),
    source: z.string(),
    distance_km: z.number().optional(),
  }),
  'Climate',
);
const box = z.strictObject({
  south_deg: z.number(),
  north_deg: z.number(),
  west_deg: z.number(),
  east_deg: z.number(),
});
export const terrainAnswer = named(
  z.strictObject({ available: z.boolean(), name: z.string(), box: box.nullable(), notes: z.array(z.string()) }),
  'TerrainAnswer',
);
export const heightAnswer = named(z.strictObject({ height_m: z.number().nullable() }), 'HeightAnswer');
export const raysAnswer = named(
  z.strictObject({
    ground_m: z.number(),
    azimuths: z.int(),
    distance_m: list,
    height_qm: z.base64().openapi({
      description: 'Signed 16-bit numbers, little-endian, ray after ray: quarter metres; -32768 for none',
    }),
  }),
  'RaysAnswer',
);
export const profileAnswer = named(
  z.strictObject({
    distance_km: list.max(1000),
    height_m: z.array(z.number().nullable()).max(1000),
    azimuth_deg: z.number(),
  }),
  'ProfileAnswer',
);
export const picture = z.string().openapi({ format: 'binary' });
export const jsonSchema = named(z.looseObject({ title: z.string() }), 'JsonSchema');
export const eventStream = z.string().openapi({ description: 'Server-sent events' });
export const html = z.string().openapi({ description: 'HTML' });
export const pdf = z.string().openapi({ description: 'PDF 1.7', format: 'binary' });
