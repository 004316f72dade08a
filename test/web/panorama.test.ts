import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Ground, groundOf } from '../../src/app/ground.ts';
import { type Station, stationRadioOf } from '../../src/app/link.ts';
import { linkOver, linkScale } from '../../src/app/margin.ts';
import { USUAL_AIR } from '../../src/app/path-loss.ts';
import { skylineOf, sunMonths } from '../../src/app/skyline.ts';
import { spotLight_kWh_m2_day, spotOf } from '../../src/app/spot.ts';
import { terrainProfile, terrainRays } from '../../src/app/terrain-rays.ts';
import { heightsOfQuarters, horizonOfRays } from '../../src/core/terrain/index.ts';
import { boxAround } from '../../src/formats/geodesic.ts';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { readKit } from '../../src/records/index.ts';
import { FIGURES, panoramaPanels } from '../../src/report/index.ts';
import { createPanorama, type Panorama } from '../../src/web/compute/panorama.ts';
import type { PanoramaPlace } from '../../src/web/compute/panorama-messages.ts';
import { placeOfRays, wayOfProfile } from '../../src/web/compute/panorama-terrain.ts';
import {
  azimuthAt,
  dateOf,
  dayOfYear,
  daySentence,
  lightSentence,
  panoramaCsv,
  placesOf,
  readoutOf,
} from '../../src/web/pages/reach/panorama-values.ts';
import { ossel } from '../app/flat-terrain.ts';

const AT = { latitude_deg: 46.425, longitude_deg: 10.195 };
const RADIUS_km = 8;
const OTHERS = [
  { name: 'Far hut', latitude_deg: 46.46, longitude_deg: 10.23, height_m: 10 },
  { name: 'Near hut', latitude_deg: 46.428, longitude_deg: 10.2 },
];
const KEY = '46.425 10.195';
const kit = readKit(parseYamlRecord(readFileSync('examples/alder-3.yaml', 'utf8'), 'alder-3'), { set: [] }).value;

let place: PanoramaPlace;
let panorama: Panorama;
let ground: Ground;
beforeAll(async () => {
  // One window of the valley for all, so that the same places have the very same heights.
  const patch = await ossel.patch({ area: boxAround(AT, 1000 * RADIUS_km + 300), at: AT });
  const terrain = { ...ossel, patch: async () => patch };
  const rays = await terrainRays(terrain, AT, RADIUS_km);
  place = placeOfRays('Perch', AT, { ...rays, height_qm: Buffer.from(rays.height_qm.buffer).toString('base64') });
  panorama = createPanorama();
  panorama.setPlace(place);
  const ways = OTHERS.map(async (o) => wayOfProfile(o, await terrainProfile(terrain, AT, o)));
  panorama.setWays(KEY, await Promise.all(ways));
  ground = groundOf(patch, AT);
});

describe('skyline from rays', () => {
  // source: horizonOf, which is itself checked against closed forms; the law of the issue: within 0.05°
  it.each([0.5, 4, 60])('is that of the whole ground within 0.05° from %d m', (height_m) => {
    const { elevation_deg } = skylineOf(ground, ground.placeOf(AT.latitude_deg, AT.longitude_deg), height_m, RADIUS_km);
    const { picture } = panorama.view({ key: KEY, kit: null, perch: null, height_m });
    let worst = 0;
    elevation_deg.forEach((e, i) => {
      worst = Math.max(worst, Math.abs(e - picture.skyline_deg[i]!));
    });
    expect(worst).toBeLessThan(0.05);
  });

  it('is the angle of a single wall, less the curve of the Earth', () => {
    const distance_m = Float64Array.of(100, 200, 1000, 5000);
    const one = Float32Array.of(10, Number.NaN, 110, 10);
    const rays = { azimuths: 2, ground_m: 10, distance_m, height_m: Float32Array.of(...one, ...one.fill(Number.NaN)) };
    const seen = horizonOfRays(rays, { eyeHeight_m: 4, effectiveRadius_m: 7_000_000, layerBounds_km: [0.5, 2] });
    // atan(96/1000 - 1000/(2 · 7,000,000)) by hand
    expect(seen.elevation_deg[0]).toBeCloseTo((Math.atan(0.096 - 1000 / 14e6) * 180) / Math.PI, 5);
    expect([seen.ridge_km[0], seen.ridge_m[0]]).toEqual([1, 110]);
    expect(Number.isNaN(seen.elevation_deg[1]!)).toBe(true);
    expect(seen.layers.map((l) => Math.sign(l.elevation_deg[0]!))).toEqual([-1, 1, -1]);
    expect(seen.unknownShare).toBe(5 / 8);
  });

  it('never rises with the mast', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 59, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (low, up) => {
          const at = (height_m: number) =>
            panorama.view({ key: KEY, kit: null, perch: null, height_m }).picture.skyline_deg;
          const below = at(low + up);
          return at(low).every((e, i) => e >= below[i]! - 1e-6);
        },
      ),
      { seed: 1, numRuns: 8 },
    );
  });

  it('reads heights of two bytes, the lower first', () => {
    expect([...heightsOfQuarters(Uint8Array.of(4, 0, 0xfe, 0xff, 0, 0x80))]).toEqual([1, -0.5, Number.NaN]);
    expect(() => heightsOfQuarters(Uint8Array.of(1))).toThrow(RangeError);
  });
});

describe('the view', () => {
  it('has the margins of linkOver to the last digit', () => {
    const { others } = panorama.view({ key: KEY, kit, perch: null, height_m: 6 });
    const radio = stationRadioOf(kit, 'kit', 'a', []);
    const station = (name: string, height_m: number): Station => ({
      ...radio,
      name,
      height_m,
      environment: 'rural',
      coSitedRise_dB: 0,
    });
    const at = (p: typeof AT) => ground.placeOf(p.latitude_deg, p.longitude_deg);
    OTHERS.forEach((o, i) => {
      const scale = linkScale(station('a', 6), station('b', o.height_m ?? 4), 0, USUAL_AIR.effectiveRadius_km);
      const link = linkOver(ground, at(AT), at(o), scale)!;
      expect(others[i]!.margin_dB).toBe(link.margin_dB);
      expect(others[i]!.odds).toBe(link.odds);
      expect(others[i]!.elevation_deg).toBe(link.elevation_deg);
      expect(others[i]!.azimuth_deg).toBeCloseTo(link.azimuth_deg, 9);
    });
  });

  it('has the hours of sun of the command line', () => {
    const { picture, day } = panorama.view({ key: KEY, kit: null, perch: null, height_m: 4 });
    expect(picture.months).toEqual(sunMonths(AT.latitude_deg, AT.longitude_deg, picture.skyline_deg));
    const dark = picture.months[picture.darkestMonth - 1]!;
    expect(day).toEqual({ month: dark.month, date: 15, open_h: dark.open_h, visible_h: dark.visible_h });
    const june = panorama.view({ key: KEY, kit: null, perch: null, height_m: 4, day: { month: 6, date: 21 } }).day;
    // source: length of the day at 46.4° N on 21 June by the sunrise equation with δ = 23.44°: 15.58 h
    expect(Math.abs(june.open_h - 15.58)).toBeLessThan(0.1);
    expect(june.visible_h).toBeLessThan(june.open_h);
  });

  it('is of the place in hand only', () => {
    expect(() => panorama.view({ key: 'elsewhere', kit: null, perch: null, height_m: 4 })).toThrow(RangeError);
  });

  it('has the light of the command line on the panel, and less on one that looks away', () => {
    const try_ = { height_m: 4, tilt_deg: 61, azimuth_deg: 180 };
    const { light_kWh_m2_day: light, darkestMonth } = panorama.light({
      key: KEY,
      kit,
      perch: null,
      tries: [try_, { ...try_, azimuth_deg: 0 }],
    });
    const open = spotLight_kWh_m2_day(kit, spotOf('Perch', AT.latitude_deg, AT.longitude_deg, place.rays.ground_m));
    const m = darkestMonth - 1;
    expect(light[0]![m]!).toBeLessThan(open[m]!);
    expect(light[0]![m]!).toBeGreaterThan(0.3 * open[m]!);
    expect(light[1]![m]!).toBeLessThan(light[0]![m]!);
  });
});

describe('reading the picture', () => {
  const view = () => panorama.view({ key: KEY, kit, perch: null, height_m: 6 });

  it('finds a direction where it is drawn, wide and in two halves', () => {
    for (const width of [752, 340]) {
      const panels = panoramaPanels(view().picture, width);
      for (let azimuth = 0; azimuth < 360; azimuth += 7) {
        const [first] = placesOf(panels, azimuth);
        const back = azimuthAt(panels, first!.x, (first!.top + first!.bottom) / 2)!;
        expect(Math.abs(((back - azimuth + 540) % 360) - 180)).toBeLessThan(1e-6);
      }
      expect(azimuthAt(panels, 5, panels[0]!.frame.top + 10)).toBe(null);
      expect(azimuthAt(panels, 100, 1e4)).toBe(null);
    }
  });

  it('tells skyline, ridge and the perch that stands there', () => {
    const seen = view();
    const [far] = seen.others;
    const text = readoutOf(seen, far!.azimuth_deg, FIGURES);
    expect(text).toMatch(
      /^NE 3\d°: skyline -?[\d.−]+° at [\d.]+ km, [\d,]+ m above the sea; .*Far hut (in sight ●|grazing ◐|blocked ○), [\d.]+ km, [+−]\d+ dB/,
    );
    expect(readoutOf(seen, far!.azimuth_deg + 180, FIGURES)).not.toContain('hut');
  });

  it('says what a day and a turn of the panel are worth', () => {
    const day = { month: 12, date: 15, open_h: 8.5, visible_h: 5.25 };
    expect(daySentence({ ...view(), day }, FIGURES)).toBe(
      'On 15 Dec the sun is up 8.5 h; 5.3 h are seen, 3.3 h are hidden.',
    );
    expect(daySentence({ ...view(), day: { ...day, open_h: 0, visible_h: 0 } }, FIGURES)).toContain('does not rise');
    expect(lightSentence(1.2, 1.5, 12, FIGURES)).toBe(
      'In December 1.20 kWh/m² a day reach the panel; 1.50 as it stands now: 20 % less.',
    );
    expect(lightSentence(1.2, 1.2, 12, FIGURES)).toBe(
      'In December 1.20 kWh/m² a day reach the panel, as it stands now.',
    );
  });

  it('counts the days of the year there and back', () => {
    for (let day = 0; day < 365; day++) {
      const { month, date } = dateOf(day);
      expect(dayOfYear(month, date)).toBe(day);
    }
    expect(dateOf(364)).toEqual({ month: 12, date: 31 });
  });

  it('goes into a table whole', () => {
    const rows = panoramaCsv(view());
    expect(rows).toHaveLength(1 + 720 + OTHERS.length);
    expect(new Set(rows.map((r) => r.length))).toEqual(new Set([7]));
  });
});
