import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { type Bench, refresh } from '../../app/bench/act.ts';
import { drawingIn, takeDrawing } from '../../app/bench/drawings.ts';
import { bySchema, DRAWING_TYPES } from '../../records/bench/index.ts';
import { answer, body, json, problems } from '../describe.ts';
import { bytesIn, digestInPath, fileAnswer, sendKept, sentFile } from '../kept-files.ts';
import type { ServerParts } from '../parts.ts';
import { there } from '../there.ts';

const tags = ['Bench'];
const key = () => z.string().regex(/^[a-z0-9.-]{1,64}$/);
const inPath = (name: string) => key().openapi({ param: { name, in: 'path' } });

const sent = z
  .strictObject({
    plan: key(),
    step: key(),
    ...sentFile('JPEG, PNG or PDF'),
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
const drawingParam = z.object({ plan: inPath('plan'), step: inPath('step'), digest: digestInPath });

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
        const signed = { by: bySchema.parse(by), at: now(), token };
        return answer(c, await takeDrawing(bench, signed, request, bytesIn(base64)));
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
        200: fileAnswer('The file as it came', DRAWING_TYPES),
        ...problems(404),
      },
    }),
    (c) => {
      const { plan, step, digest: sha256 } = c.req.valid('param');
      return there(c, async () => {
        await refresh(bench);
        const { name, type } = drawingIn(bench.state, plan, step, sha256);
        c.header('cache-control', 'private, max-age=86400');
        // A picture runs nothing; a PDF is saved, not shown.
        return sendKept(c, bench, { sha256, name, type }, type === 'application/pdf');
      }) as never;
    },
  );
}
