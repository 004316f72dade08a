import { createHash } from 'node:crypto';
import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { type Bench, refresh } from '../../app/bench/act.ts';
import { unitIn } from '../../app/bench/find.ts';
import { measureCells, measureCurrent, measureRamp } from '../../app/bench/measurements.ts';
import { passportAddress, passportFile } from '../../app/bench/passport.ts';
import { exportTables, IMPORTED, importTable, withEntries } from '../../app/bench/tables.ts';
import { UserError, userError } from '../../core/units/index.ts';
import { person } from '../../records/bench/index.ts';
import type { BenchImport, BenchMeasured, BenchPassport, BenchTables } from '../api.ts';
import * as s from '../bench-schemas.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { problemAnswer } from '../problems.ts';

const tags = ['Bench'];
/** Below the most that a body may have. */
const LONGEST = 4_500_000;
const positive = () => z.number().positive().max(1e6).optional();

const measureBody = z
  .strictObject({
    unit: z.string().min(1).max(64),
    what: z.enum(['cells', 'ramp', 'current']),
    name: z.string().min(1).max(200),
    text: z.string().min(1).max(LONGEST),
    empty_V: positive(),
    resistor_ohm: positive(),
    cells: z.int().min(1).max(10_000).optional(),
    temperature_degC: z.number().min(-60).max(100).optional(),
    threshold_mA: positive(),
    sleep: z.int().min(1).max(100).optional(),
    receive: z.int().min(1).max(100).optional(),
  })
  .openapi('BenchMeasure');

const importBody = z
  .strictObject({
    table: z.enum(IMPORTED as [string, ...string[]]),
    text: z.string().min(1).max(LONGEST),
    map: z.record(z.string().max(500), z.string().max(100)).optional(),
    skip: z.array(z.int().min(2)).max(50_000).optional(),
    zone: z.string().min(1).max(64).optional().openapi({
      description: 'Time zone, such as Europe/Zurich, of times without an offset from UTC; left out: refused',
    }),
    keep: z.boolean().optional().openapi({ description: 'Left out or false: only what would be done' }),
    by: person().optional(),
    token: z
      .string()
      .regex(/^[0-9A-Za-z-]{8,80}$/)
      .optional(),
  })
  .openapi('BenchImportRequest');

/** What comes to the bench as a file and leaves it as one: logs of measurements, tables, the passport of a unit. */
export function benchFileRoutes(api: OpenAPIHono, { now }: ServerParts, bench: Bench): void {
  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/bench/measure',
      tags,
      summary: 'What a log says of a unit: a discharge, a supply ramp, a current log; nothing is kept',
      description:
        'The values are kept by a deed `note-measured` each. At most 5 MB; the command line reads longer logs.',
      request: { body: body(measureBody) },
      responses: { 200: json(s.measured, 'Verdict, values with intervals'), ...problems(404, 413, 415, 422) },
    }),
    async (c) => {
      const { unit, what, name, text, ...request } = c.req.valid('json');
      await refresh(bench);
      return unitThere(c, () => {
        const { serial } = unitIn(bench.state, unit);
        const file = {
          name: name.replace(/^.*[/\\]/, '') || 'log',
          sha256: createHash('sha256').update(text).digest('hex'),
        };
        const read = { cells: measureCells, ramp: measureRamp, current: measureCurrent }[what];
        const { verdict, values, notes, assumptions } = read(text, file, request);
        return answer<BenchMeasured>(c, { unit: serial, verdict, values, notes, assumptions });
      }) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/passports/{serial}',
      tags,
      summary: 'The page of a unit that its maker may host, with the parts chosen by the newest deed publish-passport',
      request: { params: s.serialParam },
      responses: { 200: json(s.passport, 'A whole HTML file as text'), ...problems(404) },
    }),
    async (c) => {
      const { serial } = c.req.valid('param');
      await refresh(bench);
      return unitThere(c, () => {
        const unit = unitIn(bench.state, serial);
        const page = passportFile(bench.state, unit.serial, unit.shows, now().slice(0, 10));
        return answer<BenchPassport>(c, {
          ...{ serial: unit.serial, show: unit.shows, page },
          address: passportAddress(bench.state, unit.serial),
        });
      }) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/tables',
      tags,
      summary: 'Every table of the bench as CSV, without keys and without formulas',
      responses: { 200: json(s.tables, 'CSV by the name of the table'), ...problems() },
    }),
    async (c) => {
      await refresh(bench);
      return answer<BenchTables>(c, {
        tables: await withEntries(bench, (entries) => exportTables(bench.state, entries)),
      });
    },
  );

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/bench/import',
      tags,
      summary: 'Reads a table from CSV: all rows or none',
      description:
        'Without `keep` it tells what would be done. With it, `by` is wanted, and one wrong row keeps all out.',
      request: { body: body(importBody) },
      responses: { 200: json(s.imported, 'Rows, and what is wrong with which'), ...problems(413, 415, 422) },
    }),
    async (c) => {
      const { keep = false, by, token, ...request } = c.req.valid('json');
      if (keep && by === undefined)
        throw userError('unsigned', 'what is kept at the bench is signed: say who does it', { field: 'by' });
      const stopped = async () => {
        // Whoever has gone meanwhile does not want it any more: a look at the line before anything stands.
        await new Promise((resolve) => setImmediate(resolve));
        return c.req.raw.signal.aborted;
      };
      const signed = keep && by !== undefined ? { by, at: now(), token } : undefined;
      return answer<BenchImport>(c, await importTable(bench, request, signed && { signed, stopped }));
    },
  );
}

function unitThere(c: Context, work: () => Response): Response {
  try {
    return work();
  } catch (error) {
    const absent = error instanceof UserError && error.problems.every((p) => /^(no-such-unit|mistyped)/.test(p.code));
    if (absent) return problemAnswer(c, 404, error.problems);
    throw error;
  }
}
