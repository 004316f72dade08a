import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { type Bench, refresh } from '../../app/bench/act.ts';
import { drawingIn, takeDrawing } from '../../app/bench/drawings.ts';
import { userError } from '../../core/units/index.ts';
import { bySchema, DRAWING_TYPES, EVIDENCE_MOST_bytes } from '../../records/bench/index.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { there } from '../there.ts';
import { disposition } from './bench-evidence.ts';

const tags = ['Bench'];
const key = () => z.string().regex(/^[a-z0-9.-]{1,64}$/);
const inPath = (name: string) => key().openapi({ param: { name, in: 'path' } });

const sent = z
  .strictObject({
    plan: key(),
    step: key(),
    name: z.string().min(1).max(200).openapi({ description: 'Name of the file' }),
    base64: z
      .string()
      .min(4)
      .max(4 * Math.ceil(EVIDENCE_MOST_bytes / 3))
      .openapi({ description: `The file in base64: JPEG, PNG or PDF, at most ${EVIDENCE_MOST_bytes / 1e6} MB` }),
    by: z.string().min(1).max(200),
    token: z.string().regex(/^[0-9A-Za-z-]{8,80}$/),
  })
  .openapi('BenchDrawingRequest');
const taken = z
  .strictObject({
    drawing: z.strictObject({
      step: z.string(),
      name: z.string(),
      type: z.enum(DRAWING_TYPES),
      bytes: z.int(),
      sha256: z.string(),
      at: z.iso.datetime(),
      by: z.string(),
    }),
    again: z.boolean().openapi({ description: 'It was shown there already: nothing was written now' }),
  })
  .openapi('BenchDrawing');
const drawingParam = z.object({
  plan: inPath('plan'),
  step: inPath('step'),
  digest: z
    .string()
    .regex(/^[0-9a-f]{64}$/, { error: 'a digest is 64 hexadecimal digits' })
    .openapi({ param: { name: 'digest', in: 'path' } }),
});
const binary = z.string().openapi({ description: 'The file as it came', format: 'binary' });

/** A picture runs nothing; a PDF is saved, not shown. */
const FILE_POLICY = "default-src 'none'; sandbox";

/** Drawings and photos of steps. */
export function benchDrawingRoutes(api: OpenAPIHono, { now }: ServerParts, bench: Bench): void {
  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/bench/drawings',
      tags,
      summary: 'Keeps a drawing or photo, shown at a step of every unit of a plan',
      request: { body: body(sent) },
      responses: { 200: json(taken, 'What is shown there now'), ...problems(404, 413, 415, 422) },
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
        return answer(c, await takeDrawing(bench, signed, request, content));
      }) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/bench/drawings/{plan}/{step}/{digest}',
      tags,
      summary: 'The drawing or photo that is shown at a step',
      request: { params: drawingParam },
      responses: {
        200: {
          description: 'The file as it came',
          content: Object.fromEntries(DRAWING_TYPES.map((type) => [type, { schema: binary }])),
        },
        ...problems(404),
      },
    }),
    (c) => {
      const { plan, step, digest: sha256 } = c.req.valid('param');
      return there(c, async () => {
        await refresh(bench);
        const { name, type } = drawingIn(bench.state, plan, step, sha256);
        const content = await bench.store.file(sha256);
        if (content === undefined)
          throw userError('no-such-file', `the bytes of ${name} are missing: go on with the newest backup`);
        if (type === 'application/pdf') c.header('content-disposition', disposition(name));
        c.header('content-security-policy', FILE_POLICY);
        c.header('cache-control', 'private, max-age=86400');
        return c.body(content as Uint8Array<ArrayBuffer>, 200, { 'content-type': type });
      }) as never;
    },
  );
}
