import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import type { Bench } from '../../app/bench/act.ts';
import { refresh } from '../../app/bench/act.ts';
import { evidenceIn, takeEvidence } from '../../app/bench/evidence.ts';
import { UserError, userError } from '../../core/units/index.ts';
import { bySchema, EVIDENCE_MOST_bytes, EVIDENCE_TYPES } from '../../records/bench/index.ts';
import { batchParam, keptEvidence } from '../bench-schemas.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { problemAnswer } from '../problems.ts';

const tags = ['Bench'];

/** Letters of the largest file in base 64. */
const MOST_LETTERS = 4 * Math.ceil(EVIDENCE_MOST_bytes / 3);

const sent = z
  .strictObject({
    batch: z.string().regex(/^[a-z0-9.-]{1,64}$/),
    paper: z.string().min(1).max(200).openapi({ description: 'Row of the checklist' }),
    name: z.string().min(1).max(200).openapi({ description: 'Name of the file' }),
    base64: z
      .string()
      .min(4)
      .max(MOST_LETTERS)
      .openapi({
        description: `The file in base 64: PDF, JPEG, PNG or text in UTF-8, at most ${EVIDENCE_MOST_bytes / 1e6} MB`,
      }),
    by: z.string().min(1).max(200),
    token: z
      .string()
      .regex(/^[0-9A-Za-z-]{8,80}$/)
      .openapi({ description: 'What is sent again with the same token is done once' }),
  })
  .openapi('BenchEvidenceRequest');
const taken = z
  .strictObject({
    evidence: keptEvidence,
    again: z.boolean().openapi({ description: 'It was there already: nothing was written now' }),
  })
  .openapi('BenchEvidence');

const fileParam = batchParam.extend({
  digest: z
    .string()
    .regex(/^[0-9a-f]{64}$/, { error: 'a digest is 64 hexadecimal digits' })
    .openapi({ param: { name: 'digest', in: 'path' } }),
});
const binary = z.string().openapi({ description: 'The file as it came', format: 'binary' });

/** A kept file is saved, never shown: nothing in it may run under the name of the workbench. */
const FILE_POLICY = "default-src 'none'; sandbox";

/** Files that prove rows of a market's checklist. */
export function benchEvidenceRoutes(api: OpenAPIHono, { now }: ServerParts, bench: Bench): void {
  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/bench/evidence',
      tags,
      summary: 'Keeps a file for a row of a batch’s checklist, and notes the row as there',
      description:
        'What the file is, is told by its bytes. It is not searched for harm, and stays as long as the workshop; the deed `set-evidence-aside` takes it out of the count.',
      request: { body: body(sent) },
      responses: { 200: json(taken, 'The file as it stands in the record'), ...problems(404, 413, 415, 422) },
    }),
    (c) => {
      const { base64, by, token, ...request } = c.req.valid('json');
      return there(c, async () => {
        const content = Buffer.from(base64, 'base64');
        if (content.toString('base64') !== base64)
          throw userError('no-base64', 'base64 is wanted, with its = at the end and without line breaks', {
            field: 'base64',
          });
        const signed = { by: bySchema.parse(by), at: now(), token };
        return answer(c, await takeEvidence(bench, signed, request, content));
      }) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/evidence/{batch}/{digest}',
      tags,
      summary: 'A kept file, to be saved',
      request: { params: fileParam },
      responses: {
        200: {
          description: 'The file under the name that it came with',
          content: Object.fromEntries(EVIDENCE_TYPES.map((type) => [type, { schema: binary }])),
        },
        ...problems(404),
      },
    }),
    (c) => {
      const { batch, digest: sha256 } = c.req.valid('param');
      return there(c, async () => {
        await refresh(bench);
        const { name, type } = evidenceIn(bench.state, batch, sha256);
        const content = await bench.store.file(sha256);
        if (content === undefined)
          throw userError('no-such-file', `the bytes of ${name} are missing: go on with the newest backup`);
        c.header('content-disposition', disposition(name));
        c.header('content-security-policy', FILE_POLICY);
        const said = type === 'text/plain' ? 'text/plain; charset=utf-8' : type;
        return c.body(content as Uint8Array<ArrayBuffer>, 200, { 'content-type': said });
      }) as never;
    },
  );
}

/** Saved under its name: plain letters for old programs, the whole name for the others (RFC 6266, RFC 8187). */
export function disposition(name: string): string {
  const plain =
    name
      .normalize('NFKD')
      .replace(/[^\x20-\x7e]/g, '')
      .replace(/["\\%]/g, '-') || 'evidence';
  const whole = encodeURIComponent(name).replace(
    /['()*]/g,
    (sign) => `%${sign.charCodeAt(0).toString(16).toUpperCase()}`,
  );
  return `attachment; filename="${plain}"; filename*=UTF-8''${whole}`;
}

/** Answers 404 where what is named is not there. */
async function there(c: Context, work: () => Promise<Response>): Promise<Response> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof UserError && error.problems.every((p) => p.code.startsWith('no-such-')))
      return problemAnswer(c, 404, error.problems);
    throw error;
  }
}
