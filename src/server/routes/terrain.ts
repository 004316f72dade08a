import { createHash } from 'node:crypto';
import { createRoute, type OpenAPIHono } from '@hono/zod-openapi';
import { RADIO_LIMITS } from '../../app/job-kinds.ts';
import type { TerrainDesk } from '../../app/terrain-desk.ts';
import { userError } from '../../core/units/index.ts';
import type { HeightAnswer, ProfileAnswer, RaysAnswer, RaysRequest, TerrainAnswer } from '../api.ts';
import { answer, body, json, problems } from '../describe.ts';
import type { ServerParts } from '../parts.ts';
import { Refusal } from '../problems.ts';
import * as s from '../schemas.ts';

const tags = ['Terrain'];
/** Hillshade that stays in memory, bytes. */
const KEPT_bytes = 48e6;
/** Questions that wait for the terrain at most: far more than a map has tiles. */
const MOST_WAITING = 300;
export const NO_TERRAIN =
  'the server has no terrain: start it with `sunperch serve --terrain FOLDER`, a folder of .hgt or GeoTIFF files';

/** The ground: whether there is any, its picture, heights, rays and profiles. */
export function terrainRoutes(api: OpenAPIHono, { terrain }: ServerParts): void {
  let waiting = 0;
  /** Asks the terrain, which answers one question after the other. */
  const ask = async <T>(question: (desk: TerrainDesk) => Promise<T>): Promise<T> => {
    if (terrain === undefined) throw userError('no-terrain', NO_TERRAIN);
    if (waiting >= MOST_WAITING)
      throw new Refusal(503, 'busy', `${MOST_WAITING} questions about the ground wait already: try again soon`, 2);
    waiting++;
    try {
      return await question(terrain);
    } finally {
      waiting--;
    }
  };
  const tiles = createTiles();

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/terrain',
      tags,
      summary: 'Which terrain the server has',
      responses: { 200: json(s.terrainAnswer, 'Its name, and the box of all its tiles'), ...problems(422) },
    }),
    async (c) =>
      answer<TerrainAnswer>(
        c,
        terrain === undefined
          ? { available: false, name: '', box: null, notes: [NO_TERRAIN] }
          : { available: true, ...(await ask((desk) => desk.about())) },
      ),
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/terrain/shade/{z}/{x}/{y}',
      tags,
      summary: 'Hillshade as a tile of a web-Mercator map: 256 pixels, grey and alpha; clear where there is no height',
      request: { params: s.tileParam },
      responses: {
        200: { description: 'PNG', content: { 'image/png': { schema: s.picture } } },
        304: { description: 'The tile that the asker has is right' },
        ...problems(404, 422),
      },
    }),
    async (c) => {
      const { z: zoom, x, y } = c.req.valid('param');
      if (terrain === undefined) throw new Refusal(404, 'no-terrain', NO_TERRAIN);
      if (x >= 2 ** zoom || y >= 2 ** zoom)
        throw new Refusal(404, 'no-such-tile', `zoom ${zoom} has tiles 0 to ${2 ** zoom - 1}`);
      const key = `${await ask((desk) => desk.identity())} ${zoom}/${x}/${y}`;
      const tag = `"${createHash('sha256').update(key).digest('base64url').slice(0, 24)}"`;
      // It may be kept, but is asked for again: another terrain has other tiles under the same address.
      c.header('cache-control', 'private, no-cache');
      c.header('etag', tag);
      if (c.req.header('if-none-match') === tag) return c.body(null, 304) as never;
      const png = await tiles(key, () => ask((desk) => desk.shade({ zoom, x, y })));
      return c.body(png as Uint8Array<ArrayBuffer>, 200, { 'content-type': 'image/png' }) as never;
    },
  );

  api.openapi(
    createRoute({
      method: 'get',
      path: '/api/terrain/height',
      tags,
      summary: 'Height of the ground at a place, above the sea as the terrain counts it',
      request: { query: s.pointQuery },
      responses: { 200: json(s.heightAnswer, 'Null where the terrain has none'), ...problems(422) },
    }),
    async (c) => answer<HeightAnswer>(c, { height_m: await ask((desk) => desk.height_m(c.req.valid('query'))) }),
  );

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/terrain/rays',
      tags,
      summary: 'Ground along rays to all sides of a place, from which its skyline follows for any height of a mast',
      request: { body: body(s.raysRequest) },
      responses: { 200: json(s.raysAnswer, 'Heights as packed numbers'), ...problems(413, 415, 422) },
    }),
    async (c) => {
      const { radius_km = RADIO_LIMITS.radius_km.usual.horizon, ...place } = c.req.valid('json') as RaysRequest;
      const { height_qm, ...rest } = await ask((desk) => desk.rays(place, radius_km));
      return answer<RaysAnswer>(c, { ...rest, height_qm: littleEndian(height_qm).toString('base64') });
    },
  );

  api.openapi(
    createRoute({
      method: 'post',
      path: '/api/terrain/profile',
      tags,
      summary: 'Ground along the straight way between two places',
      request: { body: body(s.profileRequest) },
      responses: {
        200: json(s.profileAnswer, 'At most 1,000 points, both ends among them'),
        ...problems(413, 415, 422),
      },
    }),
    async (c) => {
      const { from, to } = c.req.valid('json');
      return answer<ProfileAnswer>(c, await ask((desk) => desk.profile(from, to)));
    },
  );
}

function littleEndian(values: Int16Array): Buffer {
  const bytes = Buffer.from(values.buffer, values.byteOffset, values.byteLength);
  return new Uint8Array(Uint16Array.of(1).buffer)[0] === 1 ? bytes : Buffer.from(bytes).swap16();
}

/** Tiles by key, those asked for last, and each made once however many ask. */
function createTiles() {
  const kept = new Map<string, Promise<Uint8Array>>();
  const sizes = new Map<string, number>();
  let held = 0;
  const drop = (key: string) => {
    kept.delete(key);
    held -= sizes.get(key) ?? 0;
    sizes.delete(key);
  };
  return (key: string, make: () => Promise<Uint8Array>): Promise<Uint8Array> => {
    const known = kept.get(key);
    if (known !== undefined) {
      kept.delete(key);
      kept.set(key, known);
      return known;
    }
    const made = make();
    kept.set(key, made);
    made.then(
      ({ length }) => {
        if (kept.get(key) !== made) return;
        sizes.set(key, length);
        held += length;
        for (const [oldest] of kept) {
          if (held <= KEPT_bytes) break;
          if (oldest !== key) drop(oldest);
        }
      },
      () => drop(key),
    );
    return made;
  };
}
