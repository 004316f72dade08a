import { describe, expect, it } from 'vitest';
import { linkOver } from '../../src/app/margin.ts';
import { reach } from '../../src/app/reach.ts';
import { osselHeight_m } from '../../src/core/terrain/index.ts';
import { insidePolygon } from '../../src/formats/geojson.ts';
import { ossel, plain, portsOf, terrainOf } from './flat-terrain.ts';
import { problemsOf } from './real-ports.ts';

const KIT = 'examples/alder-3.yaml';
const SHOULDER = '46.425,10.195,5';
const PLACES = 'examples/ossel-places.csv';

describe('reach', () => {
  it("agrees on each cell with the link over the cell's own profile", async () => {
    // Terrain of 30 m, as the figures are asked for.
    const fine = terrainOf((lat, lon) => osselHeight_m(lat, lon, 1), 1 / 3600);
    const { field, ground, scale, centre } = await reach(portsOf(), { perch: SHOULDER, kit: KIT, radius_km: 4 }, fine);
    const errors: number[] = [];
    for (let k = 17; k < field.margin_dB.length; k += 71) {
      const margin = field.margin_dB[k]!;
      const to = { row: Math.floor(k / field.columns), column: k % field.columns };
      if (Number.isNaN(margin) || Math.hypot(to.row - centre.row, to.column - centre.column) < 3) continue;
      errors.push(Math.abs(linkOver(ground, centre, to, scale)!.margin_dB - margin));
    }
    errors.sort((a, b) => a - b);
    expect(errors.length).toBeGreaterThan(50);
    // What is asked of the coverage: median 0.5 dB, 95 % within 2 dB.
    expect(errors[Math.floor(errors.length * 0.5)]).toBeLessThan(0.5);
    expect(errors[Math.floor(errors.length * 0.95)]).toBeLessThan(2);
  });

  it('counts areas that add up, and the disc', async () => {
    const { outcome } = await reach(portsOf(), { perch: SHOULDER, kit: KIT, radius_km: 6 }, ossel);
    const { share } = outcome;
    expect(share.inSight + share.overEdges).toBeCloseTo(share.reached, 12);
    expect(share.margin20).toBeLessThanOrEqual(share.margin10);
    expect(share.sure).toBeLessThanOrEqual(share.reached);
    expect(share.unknown).toBe(0);
    expect(outcome.area_km2 / share.reached / (Math.PI * 36)).toBeCloseTo(1, 2);
    expect(outcome.verdict).toContain('of the ground within 6 km');
  });

  it('reaches over a plain as far as the budget lets it, by hand', async () => {
    // 60 m and 30 m over a plain, 3 km away: free space 32.4 + 20 log 868.3 + 20 log 3 dB (P.525), no edge.
    const request = { perch: '46.4,10.2,60', targetHeight_m: 30, radius_km: 3.2, places: 'p.csv' };
    const east_deg = 3 / (111.32 * Math.cos((46.4 * Math.PI) / 180));
    const ports = portsOf({ 'p.csv': `name,lat,lon\nThere,46.4,${10.2 + east_deg}\n` });
    const { outcome } = await reach(ports, request, plain);
    const [place] = outcome.places;
    expect(place!.distance_km).toBeCloseTo(3, 1);
    const free = 32.4 + 20 * Math.log10(868.3) + 20 * Math.log10(place!.distance_km);
    expect(place!.loss_dB).toBeCloseTo(free, 1);
    expect(place!.margin_dB).toBeCloseTo(outcome.mostLoss_dB.there - place!.loss_dB, 6);
    expect(place!.sight).toBe('clear');
    expect(place!.azimuth_deg).toBeCloseTo(90, 1);
    expect(outcome.share.sight).toBe(1);
  });

  it('judges named places, and says of each that it cannot judge why', async () => {
    const ports = portsOf({
      'p.csv': 'name,lat,lon\nHere,46.425,10.195\nFar,46.6,10.195\nVillage,46.4035,10.206\n',
    });
    const { outcome } = await reach(ports, { perch: SHOULDER, kit: KIT, radius_km: 6, places: 'p.csv' }, ossel);
    expect(outcome.skipped).toEqual([
      { name: 'Here', reason: 'at the perch itself' },
      { name: 'Far', reason: 'beyond the radius' },
    ]);
    expect(outcome.places.map((p) => [p.name, p.reached, p.sight])).toEqual([['Village', true, 'clear']]);
  });

  it('reads the places of the example', async () => {
    const { outcome } = await reach(portsOf(), { perch: SHOULDER, kit: KIT, radius_km: 12, places: PLACES }, ossel);
    expect(outcome.places.length + outcome.skipped.length).toBe(12);
    expect(outcome.placesReached).toBe(outcome.places.filter((p) => p.margin_dB >= 0).length);
  });

  it('draws contours that hold the cells above their margin', async () => {
    const { field, ground, contours } = await reach(
      portsOf(),
      { perch: SHOULDER, kit: KIT, radius_km: 4, contours: true },
      ossel,
    );
    expect(contours!.features.map((f) => f.properties['margin_dB'])).toEqual([0, 10, 20]);
    const [zero] = contours!.features;
    let wrong = 0;
    let looked = 0;
    for (let k = 5; k < field.margin_dB.length; k += 37) {
      const margin = field.margin_dB[k]!;
      if (Math.abs(margin) < 3 || Number.isNaN(margin)) continue;
      const [lon, lat] = ground.earthOf(k % field.columns, Math.floor(k / field.columns));
      looked++;
      if (zero!.geometry.coordinates.some((rings) => insidePolygon(rings, lon, lat)) !== margin > 0) wrong++;
    }
    // A contour runs between cells, so a cell beside it may fall on the other side.
    expect(wrong / looked).toBeLessThan(0.02);
  });

  it('does not judge ground behind a void, and tells how much that is', async () => {
    const holed = terrainOf((lat, lon) => (lon > 10.22 && lat > 46.36 && lat < 46.44 ? Number.NaN : 500));
    const { outcome } = await reach(portsOf(), { perch: '46.4,10.2,30', radius_km: 4 }, holed);
    expect(outcome.share.unknown).toBeGreaterThan(0.2);
    expect(outcome.share.unknown).toBeLessThan(0.45);
    expect(outcome.cautions.map((c) => c.code)).toContain('terrain-gaps');
  });

  it('works across the date line and at 80° N', async () => {
    for (const perch of ['-16.5,179.995,30', '80,20,30']) {
      const { outcome } = await reach(portsOf(), { perch, radius_km: 3, targetHeight_m: 10 }, plain);
      expect(outcome.share.reached).toBe(1);
      expect(outcome.share.unknown).toBe(0);
      expect(outcome.area_km2 / (Math.PI * 9)).toBeCloseTo(1, 1);
    }
  });

  it('is less with clutter on the way and with a fade margin', async () => {
    const at = async (more: object) =>
      (await reach(portsOf(), { perch: SHOULDER, kit: KIT, radius_km: 5, ...more }, ossel)).outcome.share.reached;
    const bare = await at({});
    expect(await at({ clutter_m: 15 })).toBeLessThan(bare);
    expect(await at({ fadeMargin_dB: 15 })).toBeLessThan(bare);
  });

  it.each([
    [{ radius_km: 15000 }, 'it is in km, 15000 m are 15'],
    [{ radius_km: 0 }, 'lies between 0.5 and 60 km'],
    [{ targetHeight_m: 0 }, '--target-height is 0'],
    [{ clutter_m: -1 }, '--clutter is -1'],
    [{ fadeMargin_dB: 100 }, '--fade-margin is 100'],
    [{ places: 'x.csv' }, 'Row 1: latitude_deg is 146.4: a latitude lies between -90 and 90'],
    [{ perch: '146,10' }, 'has the latitude 146'],
  ])('tells what is wrong with %o', async (more, sentence) => {
    const ports = portsOf({ 'x.csv': 'name,lat,lon\nA,146.4,10.2\n' });
    const [problem] = await problemsOf(() => reach(ports, { perch: SHOULDER, radius_km: 3, ...more }, plain));
    expect(problem!.message).toContain(sentence);
  });

  it('tells a perch on a void, and a file whose height is not that of the terrain', async () => {
    const hole = terrainOf((lat) => (Math.abs(lat - 46.4) < 0.01 ? Number.NaN : 500));
    const [problem] = await problemsOf(() => reach(portsOf(), { perch: '46.4,10.2', radius_km: 3 }, hole));
    expect(problem).toMatchObject({ code: 'terrain.outside' });
    const { outcome } = await reach(portsOf(), { perch: 'examples/hut-kaldra.yaml', radius_km: 1 }, plain);
    expect(outcome.cautions[0]).toMatchObject({ code: 'elevation-differs' });
  });
});
