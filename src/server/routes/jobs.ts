import { createRoute, type OpenAPIHono } from '@hono/zod-openapi';
import { streamSSE } from 'hono/streaming';
import { checkRecord, WEATHER_ELSEWHERE, weatherOf } from '../../app/check-record.ts';
import { isRadio, JOB_NEEDS, type JobInput } from '../../app/job-kinds.ts';
import { readTarget } from '../../app/target.ts';
import { type Page, type PlainYear, pageHtml, yearDocument } from '../../app/year-report.ts';
import type { FrontierMap } from '../../core/energy/index.ts';
import { UserError, userError } from '../../core/units/index.ts';
import type { FormKind, JobRequest, JobStatus, ReachReportAnswer, ReportRequest } from '../api.ts';
import { answer, body, json, problems } from '../describe.ts';
import { REPORT_POLICY } from '../headers.ts';
import { isOver } from '../jobs.ts';
import type { ServerParts } from '../parts.ts';
import { Refusal } from '../problems.ts';
import { radioInput } from '../radio-input.ts';
import { keyOf, type ResultNote } from '../results.ts';
import * as s from '../schemas.ts';
import { idOf, noSuchRecord, readId } from '../summaries.ts';

const tags = ['Computing'];
/** A line between events, so that nothing on the way takes the silence for an end. */
const PULSE_ms = 15_000;

/** Long computations, their results and reports. */
export function jobRoutes(api: OpenAPIHono, parts: ServerParts): void {
  const { store, jobs, results, version } = parts;

  type Resolved = { value: unknown; name: string; note?: { id: string; revision: number } };
  /** A record by id or in hand, read and checked before it is computed. */
  const resolve = async (kind: FormKind, given: JobRequest['kit']): Promise<Resolved> => {
    if (given === undefined)
      throw userError(`no-${kind}`, `a ${kind} is wanted: its id, or its value`, { field: kind });
    if (typeof given !== 'string') {
      const { value, name } = checkRecord(kind, { value: given.value });
      return { value, name };
    }
    const id = readId(given);
    if (id.kind !== kind) throw userError('wrong-kind', `${given} is no ${kind}`, { field: kind });
    const newest = await store.newest(id);
    if (newest === undefined || newest.content === null) throw noSuchRecord(given, newest !== undefined);
    const { value, name } = checkRecord(kind, { text: newest.content }, idOf(id));
    return { value, name, note: { id: idOf(id), revision: newest.number } };
  };
  const lookUp = (id: string): JobStatus => {
    const status = jobs.status(id);
    if (status === undefined)
      throw new Refusal(404, 'no-such-job', 'there is no such job: the server may have restarted');
    return status;
  };
  const kept = async (key: string): Promise<string> => {
    const text = await results.get(key);
    if (text === undefined) throw new Refusal(404, 'no-such-result', 'this result is not kept: compute it again');
    return text;
  };
  interface Document {
    readonly page: Page;
    readonly kit: string;
    readonly perch: string;
  }
  /** The report that is asked for. */
  const documentOf = async ({ year, size, reach }: ReportRequest): Promise<Document> => {
    if ((year === undefined) === (reach === undefined))
      throw userError('no-report', 'a report is made of a year or of a reach: give the key of one of them', {
        field: year === undefined ? 'year' : 'reach',
      });
    if (reach !== undefined) {
      if (size !== undefined)
        throw userError('no-size', 'a map of panel and cells belongs to the report of a year', { field: 'size' });
      const found = JSON.parse(await kept(reach)) as Partial<ReachReportAnswer>;
      if (found.command !== 'reach' || found.page === undefined)
        throw userError('no-reach', 'this key is of no reach that was asked for with report', { field: 'reach' });
      return found as Document;
    }
    const result = JSON.parse(await kept(year!)) as PlainYear;
    if (result.outcome?.command !== 'year')
      throw userError('no-year', 'a report is made of a year: this key is of another result', { field: 'year' });
    const sized =
      size === undefined ? undefined : (JSON.parse(await kept(size)) as { command?: string; map: FrontierMap });
    if (sized !== undefined && sized.command !== 'size')
      throw userError('no-size', 'the map comes from a size: this key is of another result', { field: 'size' });
    const { kit, perch } = result.outcome;
    return { page: yearDocument(result, sized?.map ?? null, [`${kit}, ${perch} (${parts.name})`]), kit, perch };
  };

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/jobs',
      tags,
      summary: 'Begins a computation; a result that is there already counts as done at once',
      request: { body: body(s.jobRequest) },
      responses: { 202: json(s.jobStatus, 'The job'), ...problems(404, 413, 415, 422) },
    }),
    async (c) => {
      const request = c.req.valid('json') as JobRequest;
      const { command, years, seed, target, ...given } = request;
      const needs = JOB_NEEDS[command];
      const radio = isRadio(command) ? await radioInput(request, resolve, parts.terrain) : undefined;
      if (target !== undefined) readTarget(target);
      const wanted = (kind: FormKind, instead = false) =>
        needs[kind] === 'must' || (needs[kind] === 'may' && !instead) ? resolve(kind, given[kind]) : undefined;
      const kit = await wanted('kit', given.kit === undefined);
      const perch = await wanted('perch', given.at !== undefined);
      if (radio === undefined && perch !== undefined && weatherOf(perch.value) !== undefined)
        throw new UserError(WEATHER_ELSEWHERE);
      const input: JobInput = {
        command,
        ...(kit === undefined ? {} : { kit: kit.value }),
        ...(perch === undefined ? {} : { perch: perch.value }),
        ...(years === undefined ? {} : { years }),
        ...(seed === undefined ? {} : { seed }),
        ...(target === undefined ? {} : { target }),
        ...(radio === undefined ? {} : { radio }),
      };
      const key = keyOf(input, version);
      const note: ResultNote = {
        key,
        command,
        ...(kit?.note === undefined ? {} : { kit: kit.note }),
        ...(perch?.note === undefined ? {} : { perch: perch.note }),
      };
      return answer<JobStatus>(c, await jobs.submit({ input, key, note }), 202);
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/jobs/{id}',
      tags,
      summary: 'How far a job is',
      request: { params: s.jobParam },
      responses: { 200: json(s.jobStatus, 'The job'), ...problems(404) },
    }),
    async (c) => answer<JobStatus>(c, lookUp(c.req.valid('param').id)),
  );

  api.openapi(
    createRoute({
      method: 'delete',
      path: '/api/jobs/{id}',
      tags,
      summary: 'Stops a job; one that is over stays as it is',
      request: { params: s.jobParam },
      responses: { 200: json(s.jobStatus, 'The job'), ...problems(404) },
    }),
    async (c) => {
      const { id } = c.req.valid('param');
      lookUp(id);
      jobs.stop(id);
      return answer<JobStatus>(c, lookUp(id));
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/jobs/{id}/events',
      tags,
      summary: 'How far a job is, as server-sent events named status until it is over',
      request: { params: s.jobParam },
      responses: {
        200: {
          description: 'Each event carries a JobStatus',
          content: { 'text/event-stream': { schema: s.eventStream } },
        },
        ...problems(404),
      },
    }),
    (c) => {
      const { id } = c.req.valid('param');
      lookUp(id);
      return streamSSE(c, async (stream) => {
        // Only the newest status counts: a slow reader skips what came between.
        let newest: JobStatus | undefined = lookUp(id);
        let wake = () => {};
        const unwatch = jobs.watch(id, (status) => {
          newest = status;
          wake();
        });
        stream.onAbort(() => {
          unwatch?.();
          wake();
        });
        try {
          while (!stream.aborted) {
            const status: JobStatus | undefined = newest;
            newest = undefined;
            if (status !== undefined) {
              await stream.writeSSE({ event: 'status', data: JSON.stringify(status) });
              if (isOver(status)) return;
              continue;
            }
            const pulse = setTimeout(() => wake(), PULSE_ms);
            await new Promise<void>((resolve) => {
              wake = resolve;
              if (newest !== undefined) resolve();
            });
            clearTimeout(pulse);
            if (newest === undefined && !stream.aborted) await stream.write(': still there\n\n');
          }
        } finally {
          unwatch?.();
        }
      });
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/results/{key}',
      tags,
      summary: 'A result by the hash of its inputs',
      request: { params: s.keyParam },
      responses: { 200: json(s.result, 'As the command gives it with --json'), ...problems(404) },
    }),
    async (c) => {
      const text = await kept(c.req.valid('param').key);
      return c.body(text, 200, { 'content-type': 'application/json; charset=utf-8' }) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/report',
      tags,
      summary: 'The report of a year or of a reach, as an HTML page or a PDF',
      request: { body: body(s.reportRequest) },
      responses: {
        200: {
          description: 'One file that needs nothing else',
          content: { 'text/html': { schema: s.html }, 'application/pdf': { schema: s.pdf } },
        },
        ...problems(404, 413, 415, 422),
      },
    }),
    async (c) => {
      const { format = 'html', paper, ...of } = c.req.valid('json');
      if (paper !== undefined && format !== 'pdf')
        throw userError('no-paper', 'a paper is for a PDF: leave it out, or set format to pdf', { field: 'paper' });
      const { page, kit, perch } = await documentOf(of as ReportRequest);
      c.header('content-disposition', `attachment; filename="${fileName(kit, perch, format)}"`);
      if (format === 'pdf') {
        const bytes = await parts.setOnPaper(page, paper ?? 'A4');
        return c.body(bytes as Uint8Array<ArrayBuffer>, 200, { 'content-type': 'application/pdf' }) as never;
      }
      c.header('content-security-policy', REPORT_POLICY);
      return c.html(pageHtml(page, parts.fonts)) as never;
    },
  );
}

/** A name of our own making: letters, digits and hyphens only (ASVS V5.4.1). */
function fileName(kit: string, perch: string, end: string): string {
  const plain = (text: string) =>
    text
      .normalize('NFKD')
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 40) || 'record';
  return `${plain(kit)}-at-${plain(perch)}.${end}`;
}
