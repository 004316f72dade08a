/** Which paper of the bench is wanted, and what it is to hold. */
import * as z from 'zod';
import { countOf, within } from '../fields.ts';
import { labelLayoutSchema } from './label-layout.ts';
import { REGIONS } from './units.ts';
import { key } from './words.ts';

const paper = <P extends string, S extends z.ZodRawShape>(name: P, shape: S) =>
  z.strictObject({
    paper: z.literal(name),
    size: z.enum(['A4', 'letter']).default('A4').describe('Paper that it is printed on'),
    ...shape,
  });

const things = () =>
  z
    .array(z.string().min(1).max(64))
    .min(1, { error: 'name a batch, or one or more serials' })
    .max(20_000)
    .describe('Key of a batch, or serials however they are typed; batches stand for all of their units');

export const paperRequest = z.discriminatedUnion('paper', [
  paper('labels', {
    things: things(),
    layout: labelLayoutSchema,
    startAt: countOf('the place of the first label', 1, 1800)
      .default(1)
      .describe('Place on the first sheet of the first label, row by row from 1'),
    code: z
      .string()
      .min(1)
      .max(300)
      .optional()
      .describe('What the code says, {serial} in it; left out: the address of the plan, else the serial alone'),
    level: z.enum(['L', 'M', 'Q', 'H']).default('M').describe('Share of the code that may be damaged: 7, 15, 25, 30 %'),
    barcode: z.boolean().default(false).describe('The serial as bars too'),
    outline: z.boolean().default(false).describe('The edges of the labels, for a trial on plain paper'),
  }),
  paper('certificate', { things: things() }),
  paper('card', {
    plan: key('plan'),
    region: z.enum(REGIONS).default('EU'),
    latitude_deg: within('a latitude', -90, 90)
      .optional()
      .describe("Where the unit will stand; left out: a middle of the region's, which is told"),
    tilt_deg: within('a tilt', 0, 90).optional(),
    frequency_MHz: within('a frequency of this kind of radio', 100, 1000)
      .optional()
      .describe('Left out: that of the kit'),
    cellsApart: z.boolean().default(false).describe('The cells travel apart, and the customer puts them in'),
  }),
  paper('carton', {
    plan: key('plan'),
    units: countOf('the number of units in the carton', 1, 10_000),
    packages: countOf('the number of packages', 1, 10_000).default(1).describe('Packages of this consignment'),
    packing: z.enum(['contained', 'with equipment', 'alone']).default('contained').describe('Where the cells are'),
    charge_pct: within('a state of charge', 0, 100).optional(),
  }),
  paper('packing', { order: key('order') }),
]);
export type PaperRequest = z.output<typeof paperRequest>;
export type PaperRequestOf<P extends PaperRequest['paper']> = Extract<PaperRequest, { paper: P }>;
