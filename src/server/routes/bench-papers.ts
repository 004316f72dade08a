import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { type Bench, refresh } from '../../app/bench/act.ts';
import { makePaper } from '../../app/bench/make-paper.ts';
import type { PaperOutcome } from '../../app/bench/papers-of.ts';
import { UserError, userError } from '../../core/units/index.ts';
import { paperRequest } from '../../records/bench/index.ts';
import { body, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { problemAnswer } from '../problems.ts';
import { pdf } from '../schemas.ts';

/** Setting keeps the server from answering others: what takes longer is for the command line. */
const MOST = { labels: 500, certificate: 100 } as const;
/** Notes in a header: browsers and proxies take some kilobytes. */
const MOST_NOTES = 12;
const LONGEST_NOTE = 400;

// Made anew here: only schemas made by this package's zod can be named in the document.
const paperBody = z.discriminatedUnion('paper', paperRequest.options).openapi('BenchPaper');

/** Labels, certificates, cards, carton marks and packing lists as PDF. */
export function benchPaperRoutes(api: OpenAPIHono, { store, now, setBenchPaper }: ServerParts, bench: Bench): void {
  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/bench/papers',
      tags: ['Bench'],
      summary: 'A paper of the bench as PDF: labels, certificates, a card, carton marks, a packing list',
      description: `At most ${MOST.labels} labels or ${MOST.certificate} certificates at once; the command line sets more. No key of a unit stands on any paper, a customer only on the packing list.`,
      request: { body: body(paperBody) },
      responses: {
        200: {
          description: 'The file',
          content: { 'application/pdf': { schema: pdf } },
          headers: z.object({
            'paper-notes': z
              .string()
              .optional()
              .openapi({ description: 'What to know before it is printed: a JSON list of sentences, percent-encoded' }),
          }),
        },
        ...problems(404, 413, 415, 422),
      },
    }),
    async (c) => {
      const request = c.req.valid('json');
      await refresh(bench);
      let made: PaperOutcome;
      try {
        made = await makePaper(store, bench.state, request, now().slice(0, 10));
      } catch (error) {
        if (error instanceof UserError && error.problems.every((p) => /^(no-such-|mistyped-serial)/.test(p.code)))
          return problemAnswer(c, 404, error.problems) as never;
        throw error;
      }
      checkNumber(made);
      const { bytes, notes } = await setBenchPaper(made);
      tellNotes(c, [...made.notes, ...notes]);
      c.header('content-disposition', `attachment; filename="${made.name.slice(0, 80)}.pdf"`);
      return c.body(bytes as Uint8Array<ArrayBuffer>, 200, { 'content-type': 'application/pdf' }) as never;
    },
  );
}

function checkNumber({ content, serials }: PaperOutcome): void {
  if (content.paper !== 'labels' && content.paper !== 'certificate') return;
  const most = MOST[content.paper];
  if (serials.length <= most) return;
  const command = content.paper === 'labels' ? 'sunperch label sheet' : 'sunperch label certificate';
  throw userError(
    'too-many',
    `${serials.length} units at once are more than the ${most} that are set here: name fewer serials, or let ${command} set all`,
    { field: 'things' },
  );
}

function tellNotes(c: Context, notes: readonly string[]): void {
  if (notes.length === 0) return;
  const short = notes.slice(0, MOST_NOTES).map((note) => [...note].slice(0, LONGEST_NOTE).join(''));
  c.header('paper-notes', encodeURIComponent(JSON.stringify(short)));
}
