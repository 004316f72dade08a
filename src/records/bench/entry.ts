/** An entry of the bench's record: one thing that happened, signed and dated. Entries are only ever added. */
import * as z from 'zod';
import { planSaved } from './plan.ts';
import {
  inspectionDrawn,
  lotInspected,
  lotQuarantined,
  lotReceived,
  lotReleased,
  partSaved,
  stockMoved,
} from './stores.ts';
import * as u from './units.ts';
import { moment, person } from './words.ts';

/** May be told of something that was written down later, as tables of another workshop are. */
const told = <S extends z.core.$ZodShape>(schema: z.ZodObject<S, z.core.$strict>) =>
  schema.extend({ happenedAt: moment().optional().describe('When, where it was written down later') });

/** What each kind of stream takes. A stream is `part:KEY`, `lot:KEY` … and its entries are numbered from 1. */
export const STREAMS = {
  part: [partSaved],
  lot: [
    told(lotReceived),
    told(inspectionDrawn),
    told(lotInspected),
    told(lotQuarantined),
    told(lotReleased),
    stockMoved,
  ],
  plan: [planSaved, u.drawingKept],
  batch: [told(u.batchOpened), told(u.batchClosed), told(u.paperNoted), u.evidenceKept, u.evidenceSetAside],
  order: [told(u.orderPlaced), told(u.orderCancelled)],
  unit: [
    told(u.unitMade),
    told(u.partFitted),
    told(u.partTakenOut),
    told(u.stepTicked),
    told(u.stepUnticked),
    u.gateMeasured,
    told(u.gateOverridden),
    told(u.reworkBegun),
    told(u.unitReserved),
    told(u.unitFreed),
    told(u.unitShipped),
    told(u.unitReturned),
    told(u.unitRepaired),
    told(u.unitSwapped),
    told(u.unitInstalled),
    told(u.unitScrapped),
    told(u.unitMeasured),
    u.secretKept,
    told(u.passportPublished),
  ],
} as const;
export type StreamKind = keyof typeof STREAMS;

const kinds = [
  ...STREAMS.part,
  ...STREAMS.lot,
  ...STREAMS.plan,
  ...STREAMS.batch,
  ...STREAMS.order,
  ...STREAMS.unit,
] as const;
const notedAt = moment()
  .optional()
  .describe('When the hand did it, by the clock of its own device: told, never used for order');
/** What an entry says. */
export const contentSchema = z.discriminatedUnion(
  'kind',
  kinds.map((kind) => kind.extend({ notedAt })) as unknown as typeof kinds,
);
export type Content = z.output<typeof contentSchema> & { readonly notedAt?: string | undefined };
export type ContentKind = Content['kind'];
export type ContentOf<K extends ContentKind> = Extract<Content, { kind: K }>;

/** Signed and dated, as it stands in the store. */
export interface Entry<C extends Content = Content> {
  /** 1, 2, 3 … over the whole bench, without a gap. */
  readonly seq: number;
  readonly stream: string;
  /** 1, 2, 3 … within the stream. */
  readonly number: number;
  /** UTC, ISO 8601. */
  readonly at: string;
  /** Who did it. */
  readonly by: string;
  /** Given by the sender, so that what is sent twice is kept once. */
  readonly token: string | null;
  /** Number of the entry of the same stream that this one takes the place of. */
  readonly corrects: number | null;
  readonly content: C;
}

/** The file that an entry names, whose bytes are kept in the store under its digest. */
export const keptFileOf = (content: Content): ContentOf<'evidence-kept' | 'drawing-kept'> | undefined =>
  content.kind === 'evidence-kept' || content.kind === 'drawing-kept' ? content : undefined;

/** What no database gives back as it was. */
const storable = (text: string) => !/[\p{Surrogate}\0]/u.test(text);

/** An entry as it stands in an exported file. */
export const entrySchema = z
  .strictObject({
    seq: z.int().min(1),
    stream: z.string().regex(/^[a-z]+:[0-9A-Za-z.-]{1,64}$/, { error: 'a stream is written as unit:A07-012K' }),
    number: z.int().min(1),
    at: moment(),
    by: person().refine(storable, { error: 'this name cannot be stored' }),
    token: z.string().refine(storable, { error: 'this token cannot be stored' }).nullable(),
    corrects: z.int().min(1).nullable(),
    content: contentSchema,
  })
  .refine(({ stream, content }) => belongs(stream, content.kind), {
    error: ({ input }) => {
      const { stream, content } = input as Entry;
      return `${content.kind} does not belong in ${stream}`;
    },
  })
  .refine(({ number, corrects }) => corrects === null || corrects < number, {
    error: 'only what stands earlier in the stream can be corrected',
  });

/** The entry with the moment at which it happened, also where it was written down later; its content then no longer says so. */
export function asItHappened(entry: Entry): Entry {
  if (!('happenedAt' in entry.content) || entry.content.happenedAt === undefined) return entry;
  const { happenedAt, ...content } = entry.content;
  return { ...entry, at: happenedAt, content: content as Content };
}

/** An entry before the store has numbered it. */
export type NewEntry = Omit<Entry, 'seq' | 'number'>;

export const bySchema = person();

export const streamOf = (kind: StreamKind, key: string): string => `${kind}:${key}`;
export const streamKind = (stream: string): StreamKind => stream.slice(0, stream.indexOf(':')) as StreamKind;
export const streamKey = (stream: string): string => stream.slice(stream.indexOf(':') + 1);

const kindsOf = new Map<StreamKind, ReadonlySet<string>>(
  (Object.keys(STREAMS) as StreamKind[]).map((kind) => [
    kind,
    new Set(STREAMS[kind].map((schema) => schema.shape.kind.value)),
  ]),
);
/** Whether entries of this kind stand in streams of that kind. */
export const belongs = (stream: string, kind: ContentKind): boolean =>
  kindsOf.get(streamKind(stream))?.has(kind) === true;
