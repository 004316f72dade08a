import fc from 'fast-check';
import geographiclib from 'geographiclib-geodesic';
import { describe, expect, it } from 'vitest';
import type { RankOutcome } from '../../src/app/rank.ts';
import type { ReachOutcome } from '../../src/app/reach.ts';
import { readProfileCsv } from '../../src/formats/profile-csv.ts';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { readPerch } from '../../src/records/index.ts';
import { formatFor } from '../../src/web/display/numbers.ts';
import { fieldAt, fieldOf, northing } from '../../src/web/pages/reach/field.ts';
import { freeLabels, type Mark, markHtml, markLabel } from '../../src/web/pages/reach/marks.ts';
import { freshName, joined } from '../../src/web/pages/reach/point-lists.ts';
import {
  bearingText,
  distanceText,
  oddsText,
  rankSentence,
  reachSentence,
  sunSentence,
} from '../../src/web/pages/reach/words.ts';
import { hasGap, pointText, profileText } from '../../src/web/state/links.ts';
import { newestLane } from '../../src/web/state/newest-lane.ts';
import { stepped } from '../../src/web/state/reach.ts';

const ENGLISH = { format: formatFor('en-GB'), display: { length: 'metric', temperature: 'degC' } } as const;
const GERMAN = { format: formatFor('de-DE'), display: { length: 'imperial', temperature: 'degC' } } as const;

describe('margins under a place of the map', () => {
  // source: Snyder 1987, Map Projections – A Working Manual (USGS PP 1395), Mercator: y = ln tan(45° + φ/2) = arsinh tan φ
  it.each([0, 30, 45, 46.4, -44.3, 60])('northing of %d°', (latitude_deg) => {
    expect(northing(latitude_deg)).toBeCloseTo(Math.asinh(Math.tan((latitude_deg * Math.PI) / 180)), 12);
  });

  it('reads the cell that lies there, signs and the unknown kept', () => {
    const values = Int8Array.from([-128, -127, -1, 0, 40, 127]);
    const margin_dB = Buffer.from(values.buffer).toString('base64');
    const box = { south_deg: -10, north_deg: 10, west_deg: 20, east_deg: 23 };
    // 255 is not known; 128 more in line of sight: 128 + 97 per cent.
    const odds = Buffer.from([255, 0, 225, 50, 100, 228]).toString('base64');
    const field = fieldOf({ box, rows: 2, columns: 3, margin_dB, odds, png: '', legend: [] })!;
    // The equator parts the two rows, whatever the map does to latitudes.
    const at = (latitude_deg: number, longitude_deg: number) =>
      fieldAt(field, { latitude_deg, longitude_deg })?.margin_dB ?? null;
    expect([at(9, 20.5), at(9, 21.5), at(0.01, 22.9)]).toEqual([null, -127, -1]);
    expect([at(-0.01, 20.1), at(-9.9, 21.5), at(-5, 22.5)]).toEqual([0, 40, 127]);
    expect([at(11, 21), at(0, 19.9), at(0, 23.1), at(-11, 21)]).toEqual([null, null, null, null]);
    expect(fieldAt(field, { latitude_deg: 5, longitude_deg: 22.5 })).toEqual({
      margin_dB: -1,
      odds: 0.97,
      inSight: true,
    });
    expect(fieldAt(field, { latitude_deg: -5, longitude_deg: 20.5 })).toEqual({
      margin_dB: 0,
      odds: 0.5,
      inSight: false,
    });
    expect(fieldOf({ box, rows: 3, columns: 3, margin_dB, odds, png: '', legend: [] })).toBeNull();
    // What an older edition has kept tells no odds.
    expect(fieldOf({ box, rows: 2, columns: 3, margin_dB, odds: '', png: '', legend: [] })?.odds).toBeNull();
  });
});

describe('steps of a perch by the arrow keys', () => {
  it('are as long as they say', () => {
    const { WGS84 } = geographiclib.Geodesic;
    fc.assert(
      fc.property(
        fc.double({ min: -70, max: 70, noNaN: true }),
        fc.double({ min: -179, max: 179, noNaN: true }),
        fc.constantFrom([10, 0], [0, 10], [-100, 0], [0, -100]),
        (latitude_deg, longitude_deg, [north = 0, east = 0]) => {
          const to = stepped({ latitude_deg, longitude_deg }, north, east);
          const { s12 } = WGS84.Inverse(latitude_deg, longitude_deg, to.latitude_deg, to.longitude_deg);
          // source: Karney 2013 on the ellipsoid of WGS 84; a sphere is within 0.7 % of it
          expect(s12! / Math.hypot(north, east)).toBeCloseTo(1, 1.85);
        },
      ),
      { seed: 1, numRuns: 100 },
    );
  });
});

describe('the lane of the newest question', () => {
  const later = () => new Promise((resolve) => setTimeout(resolve, 0));

  it('answers the first and the newest, drops those between, and begins no two at once', async () => {
    const open = new Map<number, (answer: string) => void>();
    const told: string[] = [];
    let most = 0;
    const lane = newestLane<number, string>(
      (n) => ({
        result: new Promise((resolve) => {
          open.set(n, resolve);
          most = Math.max(most, open.size);
        }),
        stop: () => open.delete(n),
      }),
      (answer) => told.push(answer),
      () => told.push('failed'),
    );
    const end = async (n: number) => {
      const done = open.get(n)!;
      open.delete(n);
      done(`answer ${n}`);
      await later();
    };
    for (const n of [1, 2, 3, 4]) lane.ask(n);
    expect([...open.keys()]).toEqual([1]);
    await end(1);
    expect([...open.keys()]).toEqual([4]);
    lane.ask(5);
    lane.stop();
    expect(open.size).toBe(0);
    await later();
    lane.ask(6);
    await end(6);
    expect(told).toEqual(['answer 1', 'answer 6']);
    expect(most).toBe(1);
  });

  it('goes on after a failure', async () => {
    const told: string[] = [];
    const lane = newestLane<string, string>(
      (q) => ({ result: q === 'bad' ? Promise.reject(new Error(q)) : Promise.resolve(q), stop: () => undefined }),
      (answer) => told.push(answer),
      (error) => told.push(String(error)),
    );
    lane.ask('bad');
    lane.ask('good');
    await later();
    expect(told).toEqual(['Error: bad', 'good']);
  });
});

describe('marks', () => {
  const mark: Mark = { name: '<b>Hut & "so"</b>', kind: 'perch', state: 'reached' };

  it('write names as text and say their state in words', () => {
    expect(markHtml(mark)).toContain('&lt;b&gt;Hut &amp; &quot;so&quot;&lt;/b&gt;');
    expect(markHtml(mark)).not.toContain('<b>');
    expect(markLabel({ ...mark, name: 'Hut' }, true)).toBe(
      'Hut, perch, reached; arrow keys move it by 10 m, with shift by 100 m',
    );
    expect(markLabel({ ...mark, name: 'Hut', state: 'in hand' }, false)).toBe('Hut, the perch in hand');
  });

  it('differ in shape for every kind and state', () => {
    const kinds = ['perch', 'place', 'candidate'] as const;
    const states = ['reached', 'on the edge', 'not reached', 'not judged'] as const;
    const all = kinds.flatMap((kind) => states.map((state) => markHtml({ name: '', kind, state })));
    expect(new Set(all).size).toBe(all.length);
  });

  it('have labels that do not lie over each other', () => {
    const box = fc
      .tuple(fc.nat(300), fc.nat(300), fc.integer({ min: 1, max: 80 }))
      .map(([left, top, wide]) => ({ left, top, right: left + wide, bottom: top + 20 }));
    fc.assert(
      fc.property(fc.array(box, { minLength: 1, maxLength: 20 }), (boxes) => {
        const shown = freeLabels(boxes);
        expect(shown[0]).toBe(true);
        const kept = boxes.filter((_, i) => shown[i]);
        for (const a of kept)
          for (const b of kept)
            if (a !== b)
              expect(a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top).toBe(true);
      }),
      { seed: 1, numRuns: 50 },
    );
  });
});

describe('a profile for the link', () => {
  const answer = { distance_km: [0, 0.2, 0.4, 1], height_m: [100, null, 120.5, 90], azimuth_deg: 20 };

  it('is read back as `path --profile` reads it, points without height left out', () => {
    const { profile } = readProfileCsv(profileText(answer, 12), 'ground.csv');
    expect([...profile.distance_km]).toEqual([0, 0.4, 1]);
    expect([...profile.height_m]).toEqual([100, 120.5, 90]);
    expect([...(profile.clutter_m ?? [])]).toEqual([0, 12, 0]);
  });

  it('has a gap where an end or more than 500 m are missing', () => {
    expect(hasGap(answer)).toBe(false);
    expect(hasGap({ ...answer, height_m: [100, null, 110, null] })).toBe(true);
    expect(hasGap({ ...answer, height_m: [null, 100, 110, 90] })).toBe(true);
    expect(hasGap({ ...answer, height_m: [100, 100, null, 90], distance_km: [0, 0.2, 0.4, 0.75] })).toBe(true);
    // A profile of wide steps is no gap.
    expect(hasGap({ ...answer, height_m: [100, 110, 120, 90], distance_km: [0, 1, 2, 3] })).toBe(false);
  });

  it('ends at a point that reads as a perch, whatever its name', () => {
    const text = pointText('a: "b"\n- c', { latitude_deg: 46.4, longitude_deg: -10.2 }, 1234.56, 1.5);
    const { value } = readPerch(parseYamlRecord(text, 'point'), {});
    expect(value).toMatchObject({
      name: 'a: "b"\n- c',
      latitude_deg: 46.4,
      longitude_deg: -10.2,
      elevation_m: 1234.6,
      height_m: 1.5,
    });
  });
});

describe('lists of points', () => {
  it('give a fresh name, and take the newer of two with one name', () => {
    expect(freshName('Spot', [{ name: 'Spot' }, { name: 'Spot 2' }])).toBe('Spot 3');
    expect(freshName('Spot', [])).toBe('Spot');
    const read = (name: string, latitude_deg: number) => ({
      name,
      latitude_deg,
      longitude_deg: 1,
      height_m: undefined,
      access: undefined,
    });
    const { list, left } = joined(
      [{ name: 'A', latitude_deg: 1, longitude_deg: 1 }],
      [read('A', 2), read('B', 3), read('C', 4)],
      2,
    );
    expect(list.map((p) => [p.name, p.latitude_deg])).toEqual([
      ['A', 2],
      ['B', 3],
    ]);
    expect(left).toBe(1);
  });
});

describe('sentences', () => {
  const outcome = {
    perch: 'Hut',
    to: 'hand-held',
    targetHeight_m: 1.5,
    radius_km: 15,
    share: { reached: 0.463, inSight: 0.201, overEdges: 0.262 },
    places: [
      { name: 'School', reached: true },
      { name: 'Mill', reached: false },
    ],
    placesReached: 1,
  } as unknown as ReachOutcome;

  it('say whom a perch reaches, in the reader’s units', () => {
    const spaced = (text: string) => text.replaceAll('\u00a0', ' ');
    expect(spaced(reachSentence(ENGLISH, outcome, false))).toBe(
      'Hut reaches 46 % of the ground within 15 km for a hand-held at 1.5 m: 20 % in sight, 26 % over edges. 1 of the 2 named places is reached; not Mill.',
    );
    expect(spaced(reachSentence(GERMAN, { ...outcome, places: [] }, true))).toBe(
      'Hut reaches 46 % of the ground within 9,32 mi for a hand-held in a house at 4,92 ft: 20 % in sight, 26 % over edges.',
    );
    const none = { ...outcome, share: { ...outcome.share, reached: 0 }, places: [] };
    expect(spaced(reachSentence(ENGLISH, none, false))).toBe(
      'Hut reaches no ground within 15 km for a hand-held at 1.5 m.',
    );
  });

  it('say what a move has done to the sun', () => {
    const sun = { month: 12, open_h: 8.52, visible_h: 4.1 };
    expect(sunSentence(ENGLISH, sun, null)).toBe('In the middle of December the skyline leaves 4.1 h of 8.5 h of sun.');
    expect(sunSentence(ENGLISH, sun, { month: 12, visible_h: 5.6 })).toBe(
      'In the middle of December the skyline leaves 4.1 h of 8.5 h of sun: 1.5 h less than at the saved place.',
    );
    expect(sunSentence(ENGLISH, { ...sun, open_h: 0, visible_h: 0 }, null)).toBe(
      'In December the sun does not rise here.',
    );
  });

  it('tell likely from certain, and winds from degrees', () => {
    expect([oddsText(ENGLISH, 0.9951), oddsText(ENGLISH, 0.004), oddsText(ENGLISH, 0.5)]).toEqual([
      'over 99 %',
      'under 1 %',
      '50 %',
    ]);
    expect([bearingText(ENGLISH, 359), bearingText(ENGLISH, 225), bearingText(ENGLISH, 112)]).toEqual([
      '359° (north)',
      '225° (south-west)',
      '112° (east)',
    ]);
  });

  it('write short distances in metres or feet', () => {
    const spaced = (text: string) => text.replaceAll('\u00a0', ' ');
    expect([0.0098, 0.4567, 2.345].map((v) => spaced(distanceText(ENGLISH, v)))).toEqual(['9.8 m', '457 m', '2.35 km']);
    // source: International yard and pound agreement 1959: 1 ft = 0.3048 m, 1 mile = 1609.344 m
    expect([0.3048, 16.09344].map((v) => spaced(distanceText(GERMAN, v)))).toEqual(['1.000 ft', '10 mi']);
  });

  it('name the front of the candidates', () => {
    const c = (name: string, reachedShare: number, light_kWh_m2: number, onFront: boolean) => ({
      name,
      reachedShare,
      onFront,
      winter: { month: 12, light_kWh_m2 },
    });
    const ranked = {
      candidates: [c('A', 0.5, 20, true), c('B', 0.3, 60, true), c('C', 0.2, 10, false)],
      front: ['A', 'B'],
    } as unknown as RankOutcome;
    expect(rankSentence(ENGLISH, ranked)).toBe(
      '2 of 3 candidates are beaten by none: A, B. A reaches most, 50 % of the area; B has most light in December, 60 kWh/m² on its panel.',
    );
  });
});
