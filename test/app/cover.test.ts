import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { COVER_CLASSES, readCover } from '../../src/app/cover-file.ts';
import { find } from '../../src/app/find.ts';
import { horizon } from '../../src/app/horizon.ts';
import { linkOver } from '../../src/app/margin.ts';
import { pathBetween } from '../../src/app/path-between.ts';
import { rank } from '../../src/app/rank.ts';
import { reach } from '../../src/app/reach.ts';
import { runApart, runTask } from '../../src/app/tasks.ts';
import { UserError } from '../../src/core/units/index.ts';
import { readGolden } from '../golden.ts';
import { plain, portsOf, terrainOf } from './flat-terrain.ts';
import { problemsOf } from './real-ports.ts';

const KIT = 'examples/alder-3.yaml';
const A = '46.4,10.2,60';
/** Metres of a degree of longitude at 46.4 N and of latitude there (WGS84 ellipsoid, by hand). */
const EAST_m = 76_895;
const NORTH_m = 111_160;
const east = (m: number) => 10.2 + m / EAST_m;
const north = (m: number) => 46.4 + m / NORTH_m;

type Corner = readonly [number, number];
/** A polygon by metres east and north of A. */
const area = (properties: object, corners: readonly Corner[], ...holes: (readonly Corner[])[]) => ({
  type: 'Feature',
  properties,
  geometry: {
    type: 'Polygon',
    coordinates: [corners, ...holes].map((ring) => [...ring, ring[0]!].map(([x, y]) => [east(x), north(y)])),
  },
});
const box = (w: number, s: number, e: number, n: number): Corner[] => [
  [w, s],
  [e, s],
  [e, n],
  [w, n],
];
const collection = (...features: object[]) => JSON.stringify({ type: 'FeatureCollection', features });
/** Flat ground in cells of about 30 m. */
const fine = terrainOf(() => 500, 1 / 3600);

const WOOD = collection(area({ class: 'woods' }, box(2000, -600, 2800, 600)));
/** A path over the plain to a place that stands `inside_m` in a wood; 949 MHz is a frequency of the measured wood. */
async function into(inside_m: number, more: object = {}, cover = WOOD) {
  const request = {
    a: A,
    b: `46.4,${east(2000 + inside_m)}`,
    terrain: fine,
    frequency_MHz: 949,
    square_m: 1,
    ...more,
  };
  const { outcome } = await pathBetween(portsOf({ 'c.geojson': cover }), { ...request, cover: 'c.geojson' });
  return { outcome, bare: (await pathBetween(portsOf(), request)).outcome };
}

describe('ground cover on a path', () => {
  it('into a wood of known depth loses what ITU-R P.833 gives, and nothing else', async () => {
    // 100 m at 949 MHz: 26.5·(1 - e^(-17/26.5)) = 12.548 dB; 200 m: 26.5·(1 - e^(-34/26.5)) = 19.155 dB (by hand, as in test/core/path/around.test.ts).
    for (const [inside_m, loss_dB] of [
      [100, 12.548],
      [200, 19.155],
    ] as const) {
      const { outcome, bare } = await into(inside_m);
      expect(outcome.extraLosses).toHaveLength(1);
      expect(Math.abs(outcome.extraLosses[0]!.loss_dB - loss_dB)).toBeLessThan(0.1);
      expect(outcome.loss_dB).toBeCloseTo(bare.loss_dB, 9);
      expect(bare.margin_dB - outcome.margin_dB).toBeCloseTo(outcome.extraLosses[0]!.loss_dB, 9);
      expect(outcome.spread_dB).toBeGreaterThan(bare.spread_dB);
      expect(outcome.dominant).toBe('woods at one end');
    }
    const { outcome } = await into(100);
    expect(outcome.verdict).toContain('the wood around one end takes most');
    expect(outcome.extraLosses[0]!.what).toMatch(/^\d+ m of wood$/);
    expect(outcome.cover).toMatchObject({ file: 'c.geojson', features: 1 });
    expect(outcome.cover!.classes[1]).toMatchObject({ class: 'woods', height_m: 15, loss_dB: null, polygons: 1 });
    expect(outcome.assumptions.map((a) => a.field)).toContain('--cover: height_m of woods');
  });

  it('among houses loses what ITU-R P.2108 gives; above them nothing', async () => {
    const golden = readGolden('path-p2108.csv').rows.find((r) => r['kind'] === 'suburban' && r['height_m'] === '2.0')!;
    const houses = collection(area({ class: 'houses' }, box(1900, -300, 2800, 300)));
    const low = await into(300, { frequency_MHz: 1500, toHeight_m: 2 }, houses);
    expect(low.outcome.extraLosses[0]!.loss_dB).toBeCloseTo(Number(golden['loss_dB']), 1);
    expect(low.outcome.dominant).toBe('clutter at one end');
    const high = await into(300, { toHeight_m: 20 }, houses);
    expect(high.outcome.extraLosses).toEqual([]);
    // They stand on the way, well below the ray.
    expect(high.outcome.loss_dB).toBeCloseTo(high.bare.loss_dB, 1);
  });

  it('stands in the way of what lies behind', async () => {
    const belt = collection(area({ class: 'woods', height_m: 30 }, box(1700, -600, 1900, 600)));
    const { outcome, bare } = await into(0, {}, belt);
    expect(outcome.extraLosses).toEqual([]);
    expect(outcome.loss_dB).toBeGreaterThan(bare.loss_dB + 10);
    expect(outcome.dominant).toBe('woods or houses');
  });

  it('takes a told loss for the computed one, later features over earlier ones, and leaves holes open', async () => {
    const told = collection(area({ class: 'woods', loss_dB: 9 }, box(2000, -600, 2800, 600)));
    expect((await into(300, {}, told)).outcome.extraLosses[0]).toMatchObject({ loss_dB: 9, spread_dB: 0 });
    const clearing = area({ class: 'open' }, box(2200, -200, 2500, 200));
    const wood = area({ class: 'woods' }, box(2000, -600, 2800, 600));
    expect((await into(300, {}, collection(wood, clearing))).outcome.extraLosses).toEqual([]);
    expect((await into(300, {}, collection(clearing, wood))).outcome.extraLosses).toHaveLength(1);
    const holed = area({ class: 'woods' }, box(2000, -600, 2800, 600), box(2200, -200, 2500, 200));
    expect((await into(300, {}, collection(holed))).outcome.extraLosses).toEqual([]);
  });

  it('lets a mast rise out of the trees', async () => {
    const { outcome } = await into(300, { kitA: KIT, kitB: KIT, toHeight_m: 4, frequency_MHz: undefined });
    const own = outcome.masts.find((m) => m.end === 'b')!;
    expect(own.raise_m).toBeGreaterThan(11);
    expect(own.gained_dB).toBeGreaterThan(15);
  });
});

const PLACES = (places: readonly (readonly [string, number, number])[]) =>
  `name,lat,lon\n${places.map(([name, x, y]) => `${name},${north(y)},${east(x)}`).join('\n')}\n`;
/** A wood with slanting edges, houses in a clearing, and a lake. */
const COUNTRY = collection(
  area({ class: 'woods' }, [
    [700, -900],
    [2400, -1200],
    [2200, 1100],
    [500, 800],
  ]),
  area({ class: 'houses' }, box(1300, -400, 1700, 300)),
  area({ class: 'water' }, box(-1500, -500, -700, 500)),
);
const SPOTS: readonly (readonly [string, number, number])[] = [
  ['Wood', 1000, 330],
  ['Deep', 1900, -600],
  ['Village', 1500, 0],
  ['Lake', -1100, 100],
  ['Behind', 2700, 200],
  ['Meadow', 300, 1400],
];

describe('ground cover in a coverage', () => {
  const files = { 'c.geojson': COUNTRY, 'p.csv': PLACES(SPOTS) };
  const request = { perch: A, kit: KIT, radius_km: 2.8, places: 'p.csv', cover: 'c.geojson', height_m: 6 };

  it.each([
    ['cover and walls', { indoors: 'traditional' as const }],
    ['a wood of 60 m everywhere and efficient walls', { cover: undefined, woods_m: 60, indoors: 'efficient' as const }],
  ])('has the links of path: %s', async (_, more) => {
    const asked = { ...request, ...more };
    const { outcome } = await reach(portsOf(files), asked, plain);
    expect(outcome.places).toHaveLength(SPOTS.length);
    for (const place of outcome.places) {
      const { outcome: path } = await pathBetween(portsOf(files), {
        a: '46.4,10.2',
        b: `${place.latitude_deg},${place.longitude_deg}`,
        kitA: KIT,
        fromHeight_m: 6,
        terrain: plain,
        method: 'delta-bullington',
        cover: asked.cover,
        indoors: asked.indoors,
        woods_m: 'woods_m' in asked ? asked.woods_m : undefined,
      });
      expect(Math.abs(place.margin_dB - path.margin_dB)).toBeLessThan(0.05);
      expect(place.odds).toBeCloseTo(path.odds, 3);
      expect(place.endsLoss_dB).toBeCloseTo(
        path.extraLosses.reduce((sum, e) => sum + e.loss_dB, 0),
        1,
      );
    }
  });

  it('has in each cell the link of that cell', async () => {
    const { field, ground, scale, centre, outcome } = await reach(
      portsOf(files),
      { ...request, indoors: 'traditional' },
      fine,
    );
    const wrong: number[] = [];
    const kinds = new Set<number>();
    const { rows, columns, cover } = ground.ground;
    const even = (row: number, column: number) => {
      const own = cover!.kind[row * columns + column];
      for (let r = -3; r <= 3; r++)
        for (let c = -3; c <= 3; c++) if (cover!.kind[(row + r) * columns + column + c] !== own) return false;
      return true;
    };
    for (let row = 10; row < rows - 10; row += 9)
      for (let column = 10; column < columns - 10; column += 9) {
        const margin = field.margin_dB[row * columns + column]!;
        const far = Math.hypot(row - centre.row, column - centre.column) > 8;
        if (Number.isNaN(margin) || !far || !even(row, column)) continue;
        kinds.add(cover!.kind[row * columns + column]!);
        const link = linkOver(ground, centre, { row, column }, scale)!;
        wrong.push(Math.abs(link.margin_dB - margin));
      }
    wrong.sort((a, b) => a - b);
    expect([...kinds].sort()).toEqual([0, 1, 2, 3]);
    expect(wrong.length).toBeGreaterThan(200);
    expect(wrong[Math.floor(0.5 * wrong.length)]).toBeLessThan(0.05);
    expect(wrong[Math.floor(0.95 * wrong.length)]).toBeLessThan(0.5);
    expect(outcome.verdict).toContain('a hand-held at 1.5 m inside a traditional building');
    expect(outcome.cover!.classes.reduce((sum, c) => sum + c.share, 0)).toBeCloseTo(1, 9);
    expect(outcome.cautions.map((c) => c.code)).toContain('clutter-twice');
  });

  it('is the same from machines that share no memory', async () => {
    const ports = portsOf(files);
    const near = await reach(ports, { ...request, radius_km: 1.2 }, plain);
    const apart = {
      ...ports,
      runTasks: (task: string, inputs: readonly unknown[]) =>
        runApart(task, inputs, async (sent) => sent.map((input) => runTask(task, input))),
    };
    const far = await reach(apart, { ...request, radius_km: 1.2 }, plain);
    expect(far.field.margin_dB).toEqual(near.field.margin_dB);
    expect(far.outcome.share).toEqual(near.outcome.share);
  });

  it('counts the spread of walls and woods in the odds', async () => {
    const at = async (more: object) => (await reach(portsOf(files), { ...request, ...more }, plain)).outcome;
    const open = await at({ cover: undefined });
    const indoors = await at({ cover: undefined, indoors: 'efficient' });
    expect(indoors.share.sure).toBeLessThan(open.share.sure);
    const one = indoors.places.find((p) => p.name === 'Meadow')!;
    const other = open.places.find((p) => p.name === 'Meadow')!;
    expect(other.margin_dB - one.margin_dB).toBeCloseTo(one.endsLoss_dB, 6);
  });

  it('narrows the bands by measured links, each kind for itself', async () => {
    // Weak senders, so that the ratios are such as a receiver tells; the measured ones lie 3 and 4 dB below the computed ones.
    const weak = { ...request, cover: undefined, set: ['kit.radio.power_dBm=-9'] };
    const { outcome: plainly } = await reach(portsOf(files), weak, plain);
    const told = plainly.places.filter((p) => p.snr_dB < 12);
    expect(told.length).toBeGreaterThan(3);
    const rows = told.map((p, i) => `46.4 N 10.2 E > ${p.name},${p.snr_dB - 3 - (i % 2)},2026-03-01`);
    const csv = `link,snr_dB,date\n${rows.join('\n')}\nA > B,3,2026-03-01\nC > D,-4,2026-03-01\n`;
    const { outcome } = await reach(portsOf({ ...files, 'm.csv': csv }), { ...weak, measured: 'm.csv' }, plain);
    const { clear, obstructed } = outcome.measured!;
    expect(clear.links + obstructed.links).toBe(told.length);
    expect(outcome.notes.join()).toContain('2 rows of m.csv are passed over');
    const band = obstructed.links > clear.links ? obstructed : clear;
    expect(band.mean_dB).toBeGreaterThanOrEqual(3);
    expect(band.mean_dB).toBeLessThanOrEqual(4);
    expect(band.sd_dB).toBeLessThan(0.8);
    expect(band.spread_dB).toBeLessThan(band.prior_dB);
    const before = plainly.places.find((p) => p.name === told[0]!.name)!;
    const after = outcome.places.find((p) => p.name === told[0]!.name)!;
    const own = before.sight === 'clear' || before.sight === 'grazing' ? clear : obstructed;
    expect(before.margin_dB - after.margin_dB).toBeCloseTo(own.excess_dB, 6);
  });

  it('counts in rank, find and horizon', async () => {
    const rough = terrainOf(() => 500, 1 / 600);
    const ports = portsOf({ ...files, 'c.csv': PLACES([['One', 0, 0]]), 's.csv': PLACES([['Two', 1900, -600]]) });
    const cover = 'c.geojson';
    const ask = { candidates: 'c.csv', perches: 's.csv', area: '46.4,10.2,0.5', kit: KIT, places: 'p.csv', cover };
    const ranked = await rank(ports, { ...ask, indoors: 'traditional' }, rough);
    expect(ranked).toMatchObject({ indoors: 'traditional', woods_m: null, measured: null, cover: { features: 3 } });
    const others = [`${north(-600)},${east(1900)}`];
    const seen = await horizon(ports, { perch: '46.4,10.2', others, kit: KIT, radius_km: 3, cover }, rough);
    // Kit to kit, so without the walls around those who are to be reached.
    expect(ranked.candidates[0]!.links[0]!.margin_dB).toBeCloseTo(seen.outcome.others[0]!.margin_dB, 6);
    expect(seen.outcome.others[0]!.endsLoss_dB).toBeGreaterThan(5);
    expect(seen.outcome.assumptions.map((a) => a.field)).toContain('--cover: skyline');
    const bare = await horizon(ports, { perch: '46.4,10.2', others, kit: KIT, radius_km: 3 }, rough);
    expect(bare.outcome.others[0]!.endsLoss_dB).toBe(0);
    expect(seen.outcome.horizon).toEqual(bare.outcome.horizon);
    const search = { area: '46.4,10.2,1', count: 1, kit: KIT, places: 'p.csv', judged: 4, apart_km: 0.2, cover };
    const found = await find(ports, { ...search, indoors: 'efficient' }, rough);
    expect(found).toMatchObject({ indoors: 'efficient', woods_m: null, cover: { file: cover } });
    expect(found.missed).toContain('Village');
  });
});

describe('a file of ground cover', () => {
  const polygon = (coordinates: unknown, properties: object = { class: 'woods' }) =>
    JSON.stringify({ type: 'Feature', properties, geometry: { type: 'Polygon', coordinates } });
  const square = [
    [10, 46],
    [10.1, 46],
    [10.1, 46.1],
    [10, 46.1],
    [10, 46],
  ];

  it.each([
    [
      polygon([square.slice(0, 4)]),
      'Feature 1: its outer ring is not closed: it begins at 10, 46 and ends at 10, 46.1',
    ],
    [polygon([square, square.slice(0, 4)]), 'hole 1 is not closed'],
    [
      polygon([
        [
          [10, 46],
          [10.1, 46],
          [10, 46],
        ],
      ]),
      'has 3 positions',
    ],
    [
      polygon([
        [
          [10, 46],
          [10.1, 46],
          [10.2, 46],
          [10, 46],
        ],
      ]),
      'encloses no area',
    ],
    [
      polygon([
        [
          [10, 46],
          [10.1, 46.1],
          [10.1, 46],
          [10, 46.1],
          [10, 46],
        ],
      ]),
      'crosses itself at 10.050000, 46.050000',
    ],
    [polygon([square], { class: 'forest' }), 'Feature 1: class is "forest": did you mean woods?'],
    [polygon([square], { class: 'wods' }), 'did you mean woods?'],
    [polygon([square], { class: 'lava' }), 'wanted is one of open, water, low plants'],
    [polygon([square], {}), 'Feature 1: it has no class. Wanted are Polygon'],
    [
      polygon([square], { class: 'woods', height_m: 1500 }),
      'height_m is 1500: the height of trees or houses lies between 0 and 100 m',
    ],
    [polygon([square], { class: 'woods', loss_dB: 'much' }), 'loss_dB is much: a loss lies between 0 and 60 dB'],
    [
      polygon([
        [
          [10, 146],
          [10.1, 46],
          [10.1, 46.1],
          [10, 146],
        ],
      ]),
      'off the Earth: GeoJSON wants the longitude first',
    ],
    [
      JSON.stringify({
        type: 'Feature',
        properties: { class: 'woods' },
        geometry: { type: 'Point', coordinates: [10, 46] },
      }),
      'Feature 1: it is a point: ground cover is told by Polygon',
    ],
    ['{"type":"FeatureCollection","features":[]}', 'The file holds no polygon'],
    ['nonsense', 'This is no JSON'],
  ])('%s is told', async (text, sentence) => {
    const problems = await problemsOf(async () => readCover(text, 'c.geojson'));
    expect(problems.map((p) => p.message).join('\n')).toContain(sentence);
  });

  it('knows its classes in any spelling, and tells what it took from the tables', () => {
    for (const name of COVER_CLASSES) {
      const text = polygon([square], { class: name.toUpperCase().replace(' ', '_') });
      const { kinds, assumptions } = readCover(text, 'c.geojson');
      expect(kinds.at(-1)!.cover).toBe(name);
      expect(assumptions).toHaveLength(name === 'open' || name === 'water' ? 0 : 2);
    }
    expect(readCover(polygon([square], { class: 'woods', height_m: 22, loss_dB: 5 }), 'c').assumptions).toEqual([]);
  });

  it('with anything in it ends in a sentence or in polygons', async () => {
    const value = fc.anything({
      maxDepth: 4,
      values: [fc.double(), fc.constantFrom(10, 46, 'woods', null), fc.string()],
    });
    await fc.assert(
      fc.asyncProperty(value, value, async (coordinates, properties) => {
        const feature = { type: 'Feature', properties, geometry: { type: 'Polygon', coordinates } };
        try {
          readCover(
            JSON.stringify(feature, (_, v) => (typeof v === 'bigint' ? String(v) : v)),
            'c.geojson',
          );
        } catch (error) {
          if (!(error instanceof UserError)) throw error;
        }
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it('has no figures for woods below 105.9 MHz, and says so at once', async () => {
    const ports = portsOf({ 'c.geojson': WOOD });
    const set = ['kit.radio.frequency_MHz=102'];
    const [problem] = await problemsOf(() =>
      reach(ports, { perch: A, kit: KIT, set, radius_km: 1, cover: 'c.geojson' }, plain),
    );
    expect(problem).toMatchObject({ field: '--cover' });
    expect(problem!.message).toContain('it lies between 105.9 and 2117.5 MHz');
  });

  it('of exchanged coordinates, and of other ground, is told', async () => {
    const swapped = polygon([square.map(([x, y]) => [y, x])]);
    const at = (text: string) =>
      reach(portsOf({ 'c.geojson': text }), { perch: '46.05,10.05,5', radius_km: 1, cover: 'c.geojson' }, plain);
    expect((await problemsOf(() => at(swapped)))[0]).toMatchObject({ code: 'cover.exchanged' });
    const { outcome } = await at(polygon([square.map(([x, y]) => [x! + 3, y])]));
    expect(outcome.notes).toContain('No polygon of c.geojson covers any of the ground looked at.');
  });

  it('and another word for the trees are one too many', async () => {
    const ports = portsOf({ 'c.geojson': WOOD });
    const both = { perch: A, radius_km: 1, cover: 'c.geojson' };
    for (const more of [{ clutter_m: 10 }, { woods_m: 10 }])
      expect((await problemsOf(() => reach(ports, { ...both, ...more }, plain)))[0]!.message).toContain('so keep one');
    const alone = { a: A, b: `46.4,${east(900)}`, profile: 'p.csv', cover: 'c.geojson' };
    const [problem] = await problemsOf(() =>
      pathBetween(portsOf({ 'c.geojson': WOOD, 'p.csv': 'distance_km,height_m\n0,1\n0.5,1\n0.9,1\n' }), alone),
    );
    expect(problem!.message).toContain('--cover lies on the map');
  });
});
