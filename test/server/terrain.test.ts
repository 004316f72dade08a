import { decode } from 'fast-png';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runJob } from '../../src/app/job.ts';
import { runTask } from '../../src/app/tasks.ts';
import { osselHeight_m } from '../../src/core/terrain/index.ts';
import { geodesicBetween, geodesicPoint } from '../../src/formats/geodesic.ts';
import { tileOf } from '../../src/formats/terrain-png.ts';
import type {
  HeightAnswer,
  HorizonAnswer,
  JobStatus,
  ProfileAnswer,
  RankAnswer,
  RaysAnswer,
  ReachAnswer,
  TerrainAnswer,
} from '../../src/server/api.ts';
import type { RunJob } from '../../src/server/jobs.ts';
import { type ApiDocument, answerJudge } from './document.ts';
import { type Bench, bench, codes, heldRunner, json, KIT_TEXT, PERCH_TEXT, settle } from './make.ts';
import { type SmallTerrain, smallTerrain } from './small-terrain.ts';

const HUT = { latitude_deg: 46.425, longitude_deg: 10.195 };
const POST = { latitude_deg: 46.412, longitude_deg: 10.248 };
const ossel = (lat: number, lon: number) => osselHeight_m(lat, lon, 1);

let ground: SmallTerrain;
let b: Bench;
let judge: ReturnType<typeof answerJudge>;

/** As the job's thread runs it, here. */
const run: RunJob = (input, progress, signal) => {
  signal.throwIfAborted();
  return runJob(
    { progress, runTasks: async (task, inputs) => inputs.map((one) => runTask(task, one)), openTerrain: ground.open },
    input,
  );
};

beforeAll(async () => {
  ground = smallTerrain();
  b = await bench({ terrain: ground.desk, run });
  await b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
  await b.ask('POST', '/api/records', { kind: 'perch', text: PERCH_TEXT });
  judge = answerJudge(await json<ApiDocument>(b.ask('GET', '/api/openapi.json')));
});
afterAll(async () => {
  await b.end();
  ground.remove();
});

/** An answer that is also what the document says of it. */
async function told<T>(method: string, path: string, body?: unknown, headers = {}): Promise<T> {
  const answer = await b.ask(method, path, body, headers);
  const kept = answer.clone();
  expect((await judge(method, path.replace(/\?.*/, ''), answer)).problems).toEqual([]);
  expect([path, answer.status < 300]).toEqual([path, true]);
  return (await kept.json()) as T;
}
const heightPath = (lat: number, lon: number) => `/api/terrain/height?latitude_deg=${lat}&longitude_deg=${lon}`;
const tilePath = (zoom: number, { latitude_deg, longitude_deg } = HUT) => {
  const { x, y } = tileOf(latitude_deg, longitude_deg, zoom);
  return `/api/terrain/shade/${zoom}/${Math.floor(x)}/${Math.floor(y)}`;
};
async function tile(path: string) {
  const answer = await b.ask('GET', path);
  expect([answer.status, answer.headers.get('content-type')]).toEqual([200, 'image/png']);
  const { width, height, channels, data } = decode(new Uint8Array(await answer.arrayBuffer()));
  expect([width, height, channels]).toEqual([256, 256, 2]);
  return { data, tag: answer.headers.get('etag')! };
}
async function result<T>(order: object): Promise<T> {
  const { id, key, state } = await told<JobStatus>('POST', '/api/jobs', order);
  expect(['running', 'waiting', 'done']).toContain(state);
  await (await b.ask('GET', `/api/jobs/${id}/events`)).text();
  const status = await json<JobStatus>(b.ask('GET', `/api/jobs/${id}`));
  expect([status.state, status.problems]).toEqual(['done', undefined]);
  return told<T>('GET', `/api/results/${key}`);
}

describe('the ground', () => {
  it('says what there is, and gives heights', async () => {
    const { box, ...about } = await told<TerrainAnswer>('GET', '/api/terrain');
    expect(about).toEqual({ available: true, name: ground.folder, notes: [] });
    expect(box!.west_deg).toBeCloseTo(10.05, 9);
    expect(box!.north_deg).toBeCloseTo(46.54, 9);
    expect([box!.east_deg, box!.south_deg].map((v) => v.toFixed(6))).toEqual(['10.350000', '46.300000']);
    // The formula that the file was written from, between its points.
    const { height_m } = await told<HeightAnswer>('GET', heightPath(46.41234, 10.20345));
    expect(Math.abs(height_m! - ossel(46.41234, 10.20345))).toBeLessThan(3);
    expect(await told<HeightAnswer>('GET', heightPath(45, 10.2))).toEqual({ height_m: null });
    for (const path of [heightPath(91, 0), heightPath(1e9, 0), '/api/terrain/height?latitude_deg=46'])
      expect((await b.ask('GET', path)).status).toBe(400);
  });

  it('rays have the ground at their places, by the geodesic', async () => {
    const { ground_m, azimuths, distance_m, height_qm } = await told<RaysAnswer>('POST', '/api/terrain/rays', {
      ...HUT,
      radius_km: 5,
    });
    expect(ground_m).toBeCloseTo((await told<HeightAnswer>('GET', heightPath(46.425, 10.195))).height_m!, 6);
    const bytes = Buffer.from(height_qm, 'base64');
    expect([azimuths, bytes.length]).toEqual([720, 2 * 720 * distance_m.length]);
    expect(distance_m[0]).toBeCloseTo(64, 0);
    expect(distance_m.at(-1)! > 4900 && distance_m.at(-1)! <= 5000).toBe(true);
    for (let ray = 0; ray < 720; ray += 90)
      for (let i = 0; i < distance_m.length; i += 12) {
        // Distances of the reach model are right to 0.3 % (sphere against ellipsoid).
        const near = await Promise.all(
          [0.997, 0.9985, 1, 1.0015, 1.003].map((f) =>
            ground.desk.height_m(geodesicPoint(HUT, ray / 2, f * distance_m[i]!)),
          ),
        );
        const h = bytes.readInt16LE(2 * (ray * distance_m.length + i)) / 4;
        expect(h).toBeGreaterThan(Math.min(...near.map(Number)) - 1);
        expect(h).toBeLessThan(Math.max(...near.map(Number)) + 1);
      }
    const far = await told<RaysAnswer>('POST', '/api/terrain/rays', { ...HUT, radius_km: 20 });
    // Beyond the file there is none.
    expect(Buffer.from(far.height_qm, 'base64').readInt16LE(2 * (far.distance_m.length - 1))).toBe(-32768);
    const steps = far.distance_m.slice(1).map((d, i) => (d - far.distance_m[i]!) / d);
    expect(Math.max(...steps.slice(-20))).toBeLessThan(1 / 250);
    expect(await codes(b.ask('POST', '/api/terrain/rays', { latitude_deg: 0, longitude_deg: 0 }))).toEqual([
      'terrain.outside',
    ]);
  });

  it('profiles run from end to end; long ones keep their ridges', async () => {
    const { distance_km, height_m, azimuth_deg } = await told<ProfileAnswer>('POST', '/api/terrain/profile', {
      from: HUT,
      to: POST,
    });
    const way = geodesicBetween(HUT, POST);
    expect(Math.abs(azimuth_deg - way.azimuth_deg)).toBeLessThan(0.2);
    expect(Math.abs(distance_km.at(-1)! * 1000 - way.distance_m)).toBeLessThan(0.004 * way.distance_m);
    expect(distance_km[0]).toBe(0);
    for (const i of [0, 20, 40, height_m.length - 1]) {
      const at = geodesicPoint(HUT, way.azimuth_deg, (distance_km[i]! / distance_km.at(-1)!) * way.distance_m);
      expect(Math.abs(height_m[i]! - ossel(at.latitude_deg, at.longitude_deg))).toBeLessThan(5);
    }
    expect(await codes(b.ask('POST', '/api/terrain/profile', { from: HUT, to: HUT }))).toEqual(['path.same-place']);
    const away = { latitude_deg: -46, longitude_deg: 10 };
    expect(await codes(b.ask('POST', '/api/terrain/profile', { from: HUT, to: away }))).toEqual(['profile.far']);
    const beyond = await told<ProfileAnswer>('POST', '/api/terrain/profile', {
      from: HUT,
      to: { latitude_deg: 46.7, longitude_deg: 10.2 },
    });
    expect(beyond.height_m.at(-1)).toBeNull();
    const fine = smallTerrain((_, lon) => (Math.abs(lon - 10.2) < 1e-9 ? 2000 : 500), 1 / 7200);
    try {
      const [from, to] = [
        { latitude_deg: 46.4, longitude_deg: 10.06 },
        { latitude_deg: 46.4, longitude_deg: 10.34 },
      ];
      const long = await fine.desk.profile(from, to);
      // Points lie 12.8 m apart, columns 10.7 m: one lies within 0.6 of a cell of the one column of 2,000 m.
      expect(long.height_m).toHaveLength(1000);
      expect([long.distance_km[0], Math.max(...long.height_m.map(Number)) > 1090]).toEqual([0, true]);
      expect(Math.abs(1000 * long.distance_km.at(-1)! - geodesicBetween(from, to).distance_m)).toBeLessThan(100);
    } finally {
      fine.remove();
    }
  });
});

describe('hillshade tiles', () => {
  it('stay with the asker until the terrain changes', async () => {
    const { data, tag } = await tile(tilePath(13));
    expect(new Set(data.filter((_, i) => i % 2 === 1))).toEqual(new Set([255]));
    expect(new Set(data.filter((_, i) => i % 2 === 0)).size).toBeGreaterThan(100);
    const again = await b.ask('GET', tilePath(13), undefined, { 'if-none-match': tag });
    expect([again.status, await again.text()]).toEqual([304, '']);
    expect(again.headers.get('cache-control')).toBe('private, no-cache');
    // A plane that rises to the east by one in two, 46° N: source: Lambert's law by hand, as in the tests of hillshade.
    const perDegree_m = geodesicBetween(HUT, { ...HUT, longitude_deg: HUT.longitude_deg + 0.01 }).distance_m * 100;
    ground.write((_, lon) => 3000 + ((lon - 10.2) * perDegree_m) / 2);
    ground.clock.ms += 5000;
    const light = (0.5 * 0.5 + Math.SQRT1_2) / Math.sqrt(1.25);
    for (const zoom of [13, 15, 16]) {
      const plane = await tile(tilePath(zoom));
      expect(plane.tag).not.toBe(tag);
      for (let k = 0; k < 65536; k += 997) expect(Math.abs(plane.data[2 * k]! - 255 * light)).toBeLessThan(1.6);
    }
    ground.write(ossel);
    ground.clock.ms += 5000;
    expect((await tile(tilePath(13))).data).toEqual(data);
  });

  it('are clear where there is no height, also in part; coarse ones are made of finer ones', async () => {
    const clear = await tile(tilePath(12, { latitude_deg: 10, longitude_deg: 10 }));
    expect(clear.data.every((value) => value === 0)).toBe(true);
    for (const zoom of [6, 8, 10]) {
      const { data } = await tile(tilePath(zoom));
      let known = 0;
      for (let k = 1; k < data.length; k += 2) known += data[k] === 255 ? 1 : 0;
      // Share of the tile's degrees of longitude and of Mercator's latitude that the file covers.
      const [sw, ne] = [tileOf(46.3, 10.05, zoom), tileOf(46.54, 10.35, zoom)];
      const here = tileOf(HUT.latitude_deg, HUT.longitude_deg, zoom);
      const cut = (low: number, high: number, at: number) =>
        Math.min(high, Math.floor(at) + 1) - Math.max(low, Math.floor(at));
      const share = cut(sw.x, ne.x, here.x) * cut(ne.y, sw.y, here.y);
      expect(Math.abs(known / 65536 - share)).toBeLessThan(0.02 * share + 6 / 256 / 2 ** (10 - zoom));
    }
    for (const path of ['5/1/1', '17/1/1', '6/64/0', '8/a/1', '8/01/1'])
      expect([400, 404]).toContain((await b.ask('GET', `/api/terrain/shade/${path}`)).status);
  });
});

describe('radio jobs', () => {
  const look = { command: 'reach', kit: 'kit:alder-3', radius_km: 6 };

  it('reach lays its picture on the map', async () => {
    const places = [{ name: 'Post', ...POST }, 'perch:hut-kaldra'];
    const full = await result<ReachAnswer>({ ...look, perch: 'perch:hut-kaldra', places, region: 'EU' });
    const { outcome, picture } = full;
    expect(outcome).toMatchObject({ perch: 'Hut Kaldra', kit: 'Alder 3', height_m: 5, radius_km: 6 });
    expect(outcome.skipped).toEqual([{ name: 'Hut Kaldra', reason: 'at the perch itself' }]);
    const margins = new Int8Array(Buffer.from(picture.margin_dB, 'base64'));
    const png = decode(Buffer.from(picture.png.replace('data:image/png;base64,', ''), 'base64'));
    expect([png.width, png.height, png.channels]).toEqual([picture.columns, picture.rows, 4]);
    expect(margins).toHaveLength(picture.rows * picture.columns);
    // Reached is what is painted.
    margins.forEach((margin, k) => {
      if (margin >= 1 !== (png.data[4 * k + 3] === 255)) expect(Math.abs(margin)).toBeLessThanOrEqual(1);
    });
    // The area of the painted pixels on the ground, by their geodesic size, is that of the outcome.
    const { box } = picture;
    const middle_deg = (box.south_deg + box.north_deg) / 2;
    const size = (from: object, to: object) => geodesicBetween(from as typeof HUT, to as typeof HUT).distance_m / 1000;
    const west = { latitude_deg: middle_deg, longitude_deg: box.west_deg };
    const width_km = size(west, { ...west, longitude_deg: box.east_deg }) / picture.columns;
    const painted = Uint8Array.from(png.data)
      .filter((_, i) => i % 4 === 3)
      .reduce((sum, alpha) => sum + alpha / 255, 0);
    expect(Math.abs(painted * width_km ** 2 - outcome.area_km2)).toBeLessThan(0.02 * outcome.area_km2);
    // The pixel of the place has its margin, as near as a cell is to a point.
    const there = tileOf(POST.latitude_deg, POST.longitude_deg, 0);
    const [nw, se] = [tileOf(box.north_deg, box.west_deg, 0), tileOf(box.south_deg, box.east_deg, 0)];
    const column = Math.floor(((there.x - nw.x) / (se.x - nw.x)) * picture.columns);
    const row = Math.floor(((there.y - nw.y) / (se.y - nw.y)) * picture.rows);
    const near = [-1, 0, 1].flatMap((r) => [-1, 0, 1].map((c) => margins[(row + r) * picture.columns + column + c]!));
    const post = outcome.places[0]!.margin_dB;
    expect(Math.min(...near) - 3 < post && post < Math.max(...near) + 3).toBe(true);

    // A first look, not far from it, by a point and without a kit of its own.
    const coarse = await result<ReachAnswer>({ ...look, at: { name: 'Hut', ...HUT, height_m: 5 }, detail: 'coarse' });
    expect(coarse.outcome.notes[0]).toContain('A first look on a coarse grid');
    expect(coarse.outcome.perch).toBe('Hut');
    expect(Math.abs(coarse.outcome.share.reached - outcome.share.reached)).toBeLessThan(0.05);
    expect(full.limits!.lines).toHaveLength(2);
  });

  it('ground cover and measured links come as text; what is wrong in them is told by its place', async () => {
    const wood = (word: string) => ({
      type: 'Feature',
      properties: { class: word },
      geometry: {
        type: 'Polygon',
        coordinates: [
          [
            [10, 46.2],
            [10.5, 46.2],
            [10.5, 46.6],
            [10, 46.6],
            [10, 46.2],
          ],
        ],
      },
    });
    const file = (...words: string[]) => ({
      name: 'woods.geojson',
      text: JSON.stringify({ type: 'FeatureCollection', features: words.map(wood) }),
    });
    const order = { ...look, perch: 'perch:hut-kaldra', radius_km: 3, detail: 'coarse' };
    const bare = await result<ReachAnswer>(order);
    const wooded = await result<ReachAnswer>({ ...order, cover: file('woods') });
    expect(wooded.outcome.cover).toMatchObject({ file: 'woods.geojson', classes: [{ share: 0 }, { class: 'woods' }] });
    // A hand-held under trees hears less than one in the open.
    expect(wooded.outcome.share.reached).toBeLessThan(0.8 * bare.outcome.share.reached);
    const near = await result<ReachAnswer>({ ...order, woods_m: 200 });
    expect(near.outcome.share.reached).toBeLessThan(bare.outcome.share.reached);
    // Odds belong to margins: 1 in 2 at none (symmetric), and known where they are.
    const margins = new Int8Array(Buffer.from(bare.picture.margin_dB, 'base64'));
    const odds = Buffer.from(bare.picture.odds, 'base64');
    expect(odds).toHaveLength(margins.length);
    margins.forEach((margin, k) => {
      if ((margin === -128) !== (odds[k] === 255)) throw new Error(`pixel ${k}: odds without margin`);
      if (margin === 0 && Math.abs((odds[k]! % 128) - 50) > 4) throw new Error(`pixel ${k}: odds ${odds[k]}`);
    });
    // A link that hears 10 dB more than computed moves all of its kind.
    const measured = { name: 'heard.csv', text: 'link,snr_dB\nHut Kaldra > Post,-3\nnobody > Post,1\n' };
    const heard = await result<ReachAnswer>({ ...order, radius_km: 6, measured, perches: [{ name: 'Post', ...POST }] });
    const { clear, obstructed } = heard.outcome.measured!;
    expect(clear.links + obstructed.links).toBe(1);
    expect(heard.outcome.notes.join(' ')).toContain('1 row of measured links heard.csv is passed over');

    const failed = await told<JobStatus>('POST', '/api/jobs', { ...order, cover: file('woods', 'jungle') });
    await (await b.ask('GET', `/api/jobs/${failed.id}/events`)).text();
    const { problems } = await json<JobStatus>(b.ask('GET', `/api/jobs/${failed.id}`));
    expect(problems?.[0]?.message).toMatch(/Feature 2: class is "jungle"/);
    const twice = await b.ask('POST', '/api/jobs', { ...order, cover: file('woods'), clutter_m: 5 });
    expect(await codes(twice)).toEqual(['path.clutterTwice']);
  });

  it('a report of a reach is the page of the command line, laid out', async () => {
    const order = { ...look, perch: 'perch:hut-kaldra', radius_km: 6, report: true, region: 'EU' };
    const candidates = [{ name: 'Post <b>', ...POST, height_m: 4 }, 'perch:hut-kaldra'];
    const status = await told<JobStatus>('POST', '/api/jobs', { ...order, candidates });
    await (await b.ask('GET', `/api/jobs/${status.id}/events`)).text();
    const answer = await b.ask('POST', '/api/report', { reach: status.key });
    expect(answer.status).toBe(200);
    const page = await answer.text();
    for (const [text, there] of [
      ['Hut Kaldra reaches', true],
      ['Post &lt;b&gt;', true],
      ['Post <b>', false],
    ] as const)
      expect([text, page.includes(text)]).toEqual([text, there]);
    for (const part of ['map', 'panorama', 'role', 'limits']) expect(page.includes(`<section id="${part}"`)).toBe(true);
    expect(answer.headers.get('content-disposition')).toBe('attachment; filename="alder-3-at-hut-kaldra.html"');
    const raster = await told<JobStatus>('POST', '/api/jobs', {
      ...look,
      perch: 'perch:hut-kaldra',
      radius_km: 3,
      detail: 'coarse',
    });
    await (await b.ask('GET', `/api/jobs/${raster.id}/events`)).text();
    const wrong = (body: object) => codes(b.ask('POST', '/api/report', body));
    expect(await wrong({ reach: raster.key })).toEqual(['no-reach']);
    expect(await wrong({})).toEqual(['no-report']);
    expect(await wrong({ reach: status.key, size: status.key })).toEqual(['no-size']);
  });

  it('horizon sees the others, rank chooses', async () => {
    const near = [{ name: 'Post', ...POST }, 'perch:hut-kaldra'];
    const view = await result<HorizonAnswer>({
      command: 'horizon',
      perch: 'perch:hut-kaldra',
      kit: 'kit:alder-3',
      radius_km: 6,
      perches: near,
    });
    // Not itself.
    expect(view.outcome.others.map(({ name }) => name)).toEqual(['Post']);
    expect(view.panorama.skyline_deg).toHaveLength(720);
    const ranked = await result<RankAnswer>({
      command: 'rank',
      kit: 'kit:alder-3',
      candidates: ['perch:hut-kaldra', { name: 'Post', ...POST, access: 'road' }],
      area: { ...POST, radius_km: 2 },
    });
    expect(ranked.candidates.map(({ name, access }) => [name, access])).toEqual([
      ['Hut Kaldra', null],
      ['Post', 'road'],
    ]);
  });

  it('what does not fit together is told at once', async () => {
    const refused = async (order: object) => {
      const answer = await b.ask('POST', '/api/jobs', order);
      expect([400, 404, 422]).toContain(answer.status);
      return codes(answer);
    };
    expect(await refused({ command: 'reach', kit: 'kit:alder-3' })).toEqual(['no-perch']);
    expect(await refused({ command: 'rank', kit: 'kit:alder-3' })).toEqual(['rank.incomplete']);
    expect(await refused({ ...look, at: HUT, places: ['perch:nowhere'] })).toEqual(['no-such-record']);
    expect(await refused({ ...look, at: HUT, to: 'perch:hut-kaldra' })).toEqual(['wrong-kind']);
    expect(await refused({ ...look, at: HUT, radius_km: 400 })).toEqual(['bad-request']);
    expect(await refused({ ...look, at: HUT, region: 'Atlantis' })).toHaveLength(1);
    const many = Array.from({ length: 201 }, (_, i) => ({ name: `${i}`, ...HUT }));
    expect(await refused({ ...look, at: HUT, places: many })).toEqual(['bad-request']);
    // A perch with a weather file that is not here: no hindrance for radio, a sentence with the mend for energy.
    const { horizon: _, ...rest } = { ...HUT, elevation_m: 2000, horizon: 'none', climate: { weather: 'far.epw' } };
    const perch = { value: { name: 'Far', ...rest } };
    expect((await b.ask('POST', '/api/jobs', { ...look, perch })).status).toBe(202);
    const year = await json<{ problems: { message: string }[] }>(
      b.ask('POST', '/api/jobs', { command: 'year', kit: 'kit:alder-3', perch }),
    );
    expect(year.problems[0]!.message).toContain('twelve monthly means');
  });

  it('a result belongs to the terrain as it is', async () => {
    const order = { ...look, at: HUT, detail: 'coarse', radius_km: 2 };
    const { key } = await told<JobStatus>('POST', '/api/jobs', order);
    expect((await told<JobStatus>('POST', '/api/jobs', order)).key).toBe(key);
    ground.write((lat, lon) => ossel(lat, lon) + 1);
    ground.clock.ms += 5000;
    expect((await told<JobStatus>('POST', '/api/jobs', order)).key).not.toBe(key);
    ground.write(ossel);
    ground.clock.ms += 5000;
  });

  it('first looks pass long computations; a crowd of them waits, and is turned away at last', async () => {
    const held = heldRunner();
    const own = await bench({ terrain: ground.desk, run: held.run, atOnce: 1 });
    try {
      const order = (i: number, detail: string) => ({ command: 'reach', at: { ...HUT, height_m: 1 + i }, detail });
      const submit = async (body: object) => own.ask('POST', '/api/jobs', body);
      const long = [await submit(order(0, 'full')), await submit(order(1, 'full'))];
      expect(await Promise.all(long.map(async (a) => (await json<JobStatus>(a)).state))).toEqual([
        'running',
        'waiting',
      ]);
      const looks: JobStatus[] = [];
      for (let i = 0; i < 53; i++) looks.push(await json<JobStatus>(submit(order(i, 'coarse'))));
      expect(looks.filter(({ state }) => state === 'running')).toHaveLength(4);
      const late = await submit(order(99, 'coarse'));
      expect([late.status, await codes(late)]).toEqual([503, ['busy']]);
      // The one that is given up makes room.
      await own.ask('DELETE', `/api/jobs/${looks[0]!.id}`);
      await settle();
      expect(await json(own.ask('GET', `/api/jobs/${looks[4]!.id}`))).toMatchObject({ state: 'running' });
    } finally {
      await own.end();
    }
  });

  it('questions about the ground that would wait too long are turned away', async () => {
    const own = await bench({
      terrain: { ...ground.desk, height_m: () => new Promise(() => undefined) },
    });
    try {
      for (let i = 0; i < 300; i++) void own.ask('GET', heightPath(46.4, 10.2));
      for (let i = 0; i < 20; i++) await settle();
      const late = await own.ask('GET', heightPath(46.4, 10.2));
      expect([late.status, late.headers.get('retry-after'), await codes(late)]).toEqual([503, '2', ['busy']]);
    } finally {
      await own.end();
    }
  });

  it('without a terrain everything says how to get one', async () => {
    const bare = await bench();
    try {
      const about = await json<TerrainAnswer>(bare.ask('GET', '/api/terrain'));
      expect(about).toMatchObject({ available: false, box: null });
      expect(about.notes[0]).toContain('sunperch serve --terrain');
      for (const answer of [
        bare.ask('GET', tilePath(12)),
        bare.ask('GET', heightPath(46, 10)),
        bare.ask('POST', '/api/terrain/rays', HUT),
        bare.ask('POST', '/api/terrain/profile', { from: HUT, to: POST }),
        bare.ask('POST', '/api/jobs', { command: 'reach', at: HUT }),
      ])
        expect(await codes(answer)).toEqual(['no-terrain']);
    } finally {
      await bare.end();
    }
  });
});

describe('nets', () => {
  it('are records like others: checked, saved, listed, changed, undone, described', async () => {
    const text = `name: Valley\nmembers:\n  - { perch: hut-kaldra, kit: alder-3 }\n`;
    expect(await told('POST', '/api/check/net', { text })).toEqual({ problems: [], assumptions: [] });
    const twice = `${text}  - { perch: hut-kaldra, kit: bare }\n`;
    const { problems } = await told<{ problems: { code: string }[] }>('POST', '/api/check/net', { text: twice });
    expect(problems.map(({ code }) => code)).toEqual(['perch-twice']);
    const made = await told<{ id: string; strip: null }>('POST', '/api/records', { kind: 'net', text });
    expect(made).toMatchObject({ id: 'net:valley', kind: 'net', strip: null, revision: 1 });
    const changed = text.replace('name: Valley', 'name: Wide valley');
    await told('PUT', '/api/records/net:valley', { kind: 'net', text: changed, from: 1 });
    const back = await told<{ name: string }>('POST', '/api/undo', { id: 'net:valley' });
    expect(back).toMatchObject({ name: 'Valley', revision: 3 });
    expect(await told<unknown[]>('GET', '/api/records/net:valley/history')).toHaveLength(3);
    expect((await told<{ id: string }[]>('GET', '/api/records?kind=net')).map(({ id }) => id)).toEqual(['net:valley']);
    expect(await told('GET', '/api/schema/net')).toMatchObject({ title: 'Net' });
    expect(await codes(b.ask('POST', '/api/jobs', { command: 'year', kit: 'net:valley' }))).toEqual(['wrong-kind']);
  });
});
