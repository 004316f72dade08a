import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { type Bench, refresh } from '../../app/bench/act.ts';
import { evidenceIn, takeEvidence } from '../../app/bench/evidence.ts';
import { bySchema, EVIDENCE_TYPES } from '../../records/bench/index.ts';
import { batchParam, keptEvidence } from '../bench-schemas.ts';
import { answer, body, json, problems } from '../describe.ts';
import { bytesIn, digestInPath, fileAnswer, sendKept, sentFile } from '../kept-files.ts';
import type { ServerParts } from '../parts.ts';
import { there } from '../there.ts';

const tags = ['Bench'];

const sent = z
  .strictObject({
    batch: z.string().regex(/^[a-z0-9.-]{1,64}$/),
    paper: z.string().min(1).max(200).openapi({ description: 'Row of the checklist' }),
    ...sentFile('PDF, JPEG, PNG or text in UTF-8'),
  })
  .openapi('BenchEvidenceRequest');
const taken = z
  .strictObject({
    evidence: keptEvidence,
    again: z.boolean().openapi({ description: 'It was there already: nothing was written now' }),
  })
  .openapi('BenchEvidence');

const fileParam = batchParam.extend({ digest: digestInPath });

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
        const signed = { by: bySchema.parse(by), at: now(), token };
        return answer(c, await takeEvidence(bench, signed, request, bytesIn(base64)));
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
        200: fileAnswer('The file under the name that it came with', EVIDENCE_TYPES),
        ...problems(404),
      },
    }),
    (c) => {
      const { batch, digest: sha256 } = c.req.valid('param');
      return there(c, async () => {
        await refresh(bench);
        const { name, type } = evidenceIn(bench.state, batch, sha256);
        return sendKept(c, bench, { sha256, name, type }, true);
      }) as never;
    },
  );
}
