/** What the routes about places and leaving take and give. */
import { z } from '@hono/zod-openapi';
import { PACKINGS } from '../app/bench/charge.ts';

const KEY = /^[a-z0-9](?:[a-z0-9.-]{0,62}[a-z0-9])?$/;
const keys = z.array(z.string());
const order = () =>
  z.string().regex(KEY, { error: 'the key of an order has 1 to 64 small letters, digits, dots and hyphens' });

export const orderParam = z.object({ order: order().openapi({ param: { name: 'order', in: 'path' } }) });

/** Nothing is to be told beside the order; a body is wanted all the same, as everywhere, so that no other site can send it. */
export const placeRequest = z.strictObject({}).openapi('BenchOrderPlaceRequest');

/** A figure in a query: text that is a number. */
const figure = (name: string, what: string, low: number, high: number) =>
  z
    .string()
    .regex(/^-?\d{1,4}(?:\.\d{1,9})?$/, { error: `${what} is a number with a decimal point` })
    .transform(Number)
    .refine((n) => n >= low && n <= high, { error: `${what} lies between ${low} and ${high}` })
    .optional()
    .openapi({ param: { name, in: 'query' }, type: 'string' });

export const leavingQuery = z.object({
  order: order()
    .optional()
    .openapi({
      param: { name: 'order', in: 'query' },
      description: 'Left out: the one that the unit is kept for',
    }),
  rested_V: figure('rested_V', 'a rested voltage in V', 1, 60),
  temperature_degC: figure('temperature_degC', 'a temperature in °C', -40, 80),
  charge_pct: figure('charge_pct', 'a state of charge in %', 0, 100),
  packing: z
    .enum(PACKINGS)
    .optional()
    .openapi({ param: { name: 'packing', in: 'query' }, description: 'Where the cells are; left out: contained' }),
});

const look = {
  order: z.string(),
  place: z.string().nullable(),
  state: z.enum(['stays up', 'on the edge', 'goes dark', 'not checked yet']),
  verdict: z
    .string()
    .openapi({ description: 'The sentence with the smallest change that holds; empty while not checked' }),
  why: z.string().nullable().openapi({ description: 'Why it cannot be checked' }),
  notes: keys,
};
const placeLook = z.strictObject(look).openapi('BenchOrderPlace');
export const places = z.strictObject({ places: z.array(placeLook) }).openapi('BenchOrderPlaces');
const outcome = z.looseObject({
  command: z.literal('place'),
  verdict: z.string(),
  place: z.string(),
  kit: z.string(),
  perch: z.string().nullable(),
  climate: z.string(),
  years: z.int(),
  darkYears: z.int(),
  worstMonth: z.int().min(1).max(12),
  changes: z.array(z.looseObject({ change: z.string(), set: keys, holds: z.boolean() })),
});
export const placeAnswer = z
  .strictObject({ ...look, outcome: z.union([outcome, z.null()]) })
  .openapi('BenchOrderPlaceAnswer');
const percent = () => z.number().nullable();
export const shipCheck = z
  .strictObject({
    command: z.literal('ship check'),
    verdict: z.string(),
    serial: z.string(),
    order: z.string().nullable(),
    whyNotToShip: keys,
    charge: z.strictObject({
      packing: z.enum(PACKINGS),
      unNumber: z.enum(['UN3480', 'UN3481']),
      limit_pct: z.number(),
      duty: z.enum(['asked for', 'recommended']),
      said: z.string(),
      source: z.string(),
      charge_pct: percent(),
      low_pct: percent(),
      high_pct: percent(),
      temperature_degC: z.number().nullable(),
      above: z.boolean(),
      notes: keys,
    }),
    place: z.union([placeLook, z.null()]),
    notes: keys.openapi({ description: 'All of it in sentences' }),
  })
  .openapi('BenchShipCheck');
