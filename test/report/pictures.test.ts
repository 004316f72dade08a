import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AgeingCurve, FrontierMap, MonthSummary, YearPictures } from '../../src/core/energy/index.ts';
import { ageingChart, ageingSentence } from '../../src/report/ageing.ts';
import { carpetPaths, carpetPlot, carpetSentence } from '../../src/report/carpet.ts';
import { fanChart, fanSentence } from '../../src/report/fan.ts';
import { columnPlace, frontierChart, frontierSentence } from '../../src/report/frontier.ts';
import { harvestChart, harvestSentence } from '../../src/report/harvest.ts';
import { LAND_PATH, LAND_STEPS_PER_deg } from '../../src/report/land.ts';
import { chanceColour } from '../../src/report/palette.ts';
import { spellsChart, spellsSentence } from '../../src/report/spells.ts';
import { yearStrip } from '../../src/report/strip.ts';
import { dayPath, sunPathChart, sunPathSentence } from '../../src/report/sunpath.ts';
import { WHERE_VERDICTS, whereMap, whereSentence } from '../../src/report/where-map.ts';
import { sampleOutcome, samplePictures, samplePlaces } from './sample.ts';
import { checkPicture, descendants } from './xml.ts';

const outcome = sampleOutcome();
const pictures = samplePictures();
const odd = fc.oneof(
  fc.double({ min: 0, max: 1 }),
  fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, -1, -0, 1e300, 1e-300, 7),
);
const many = (n: number) => fc.array(odd, { minLength: n, maxLength: n });
const options = fc.record({ width: fc.integer({ min: 240, max: 1200 }), standalone: fc.boolean(), id: fc.string() });
const RUNS = { seed: 1, numRuns: 60 };
const fills = (svg: string) => descendants(checkPicture(svg).root).flatMap((e) => e.attributes.get('fill') ?? []);

describe('year strip', () => {
  it('tells in words what it shows', () => {
    const { title, description } = checkPicture(
      yearStrip(outcome.strip, { name: 'Alder 3 at Hut Kaldra', state: 'goes dark' }),
    );
    expect(title).toBe('Alder 3 at Hut Kaldra: goes dark ○');
    expect(description).toBe(
      'Chance of a dark hour in the month: January 31 %, February 12 %, March 1 %, November 2 %, December 24 %; none in the others. State of charge undercut on one day in ten: lowest in January, 8 %.',
    );
    const calm = { darkShare: Array(12).fill(0), lowStateOfCharge: Array(12).fill(0.7) };
    expect(checkPicture(yearStrip(calm)).description).toContain('No month had a dark hour');
  });

  it('has twelve months in the colour of their chance, from the month asked for', () => {
    const band = (firstMonth: number) =>
      fills(yearStrip(outcome.strip, { firstMonth })).filter((f) => f.startsWith('#'));
    const colours = outcome.strip.darkShare.map(chanceColour);
    expect(band(1).slice(0, 12)).toEqual(colours);
    expect(band(7).slice(0, 12)).toEqual([...colours.slice(6), ...colours.slice(0, 6)]);
  });

  it('draws three states in three shapes', () => {
    const shapes = (['stays up', 'on the edge', 'goes dark'] as const).map(
      (state) => yearStrip(outcome.strip, { state, standalone: false }).split('<rect')[0],
    );
    expect(new Set(shapes.map((s) => s!.slice(s!.indexOf('<circle')))).size).toBe(3);
    expect(yearStrip(outcome.strip, { width: 120, height: 16 }).length).toBeLessThan(5000);
  });

  it('draws odd values without a stray one, at any size', () => {
    fc.assert(
      fc.property(
        many(12),
        many(12),
        fc.integer({ min: 60, max: 900 }),
        fc.integer({ min: 12, max: 140 }),
        fc.string(),
        (a, b, width, height, name) => {
          checkPicture(
            yearStrip({ darkShare: a, lowStateOfCharge: b }, { width, height, name: `x${name}`, state: 'on the edge' }),
          );
        },
      ),
      RUNS,
    );
    expect(() => yearStrip({ darkShare: [], lowStateOfCharge: [] })).toThrow(RangeError);
  });
});

describe('fan', () => {
  it('starts on the day given and names ceiling, cut-off and reconnect', () => {
    const svg = fanChart(pictures);
    for (const text of ['ceiling 92 %', 'cut-off 3 %', 'reconnect 12 %', 'half of the years'])
      expect(svg).toContain(text);
    const { root } = checkPicture(svg);
    const months = descendants(root).filter((e) => e.name === 'text' && /^(J|F|M|A|S|O|N|D)[a-z]{2}$/.test(e.text));
    expect(months.map((e) => e.text).join(' ')).toBe('Jul Aug Sep Oct Nov Dec Jan Feb Mar Apr May Jun');
    expect(svg.length).toBeLessThan(80_000);
  });

  it('says when the charge is lowest', () => {
    const flat = Array(365).fill(0.8);
    const p10 = flat.map((v, d) => (d === 184 ? 0.2 : v));
    const p = { ...pictures, fan: { p01: p10, p10, p50: flat, p90: flat, dark: Array(365).fill(0) } };
    // Day 184 from 1 July is 1 January.
    expect(fanSentence(p)).toBe('Lowest about 1 Jan: one year in ten is below 20 %; no day had a dark hour.');
  });

  it('draws odd values without a stray one', () => {
    fc.assert(
      fc.property(many(365), many(365), many(3), fc.integer({ min: 0, max: 364 }), options, (a, b, m, startDay, o) => {
        const fan = { p01: a, p10: b, p50: a, p90: b, dark: a };
        checkPicture(fanChart({ fan, startDay, marks: { ceiling: m[0]!, cutoff: m[1]!, reconnect: m[2]! } }, o));
      }),
      { seed: 1, numRuns: 15 },
    );
  });
});

/** Adds up the rectangles of the carpet: every cell must be covered once, by its own level. */
function cellsOf(paths: Map<number, string>): Map<string, number> {
  const cells = new Map<string, number>();
  for (const [level, d] of paths) {
    for (const [, day, hour, w, h] of d.matchAll(/M(\d+) (\d+)h(\d+)v(\d+)h-\d+z/g)) {
      for (let i = 0; i < Number(w); i++)
        for (let j = 0; j < Number(h); j++) {
          const key = `${Number(day) + i},${Number(hour) + j}`;
          expect(cells.has(key), key).toBe(false);
          cells.set(key, level);
        }
    }
  }
  return cells;
}

describe('carpet', () => {
  it('covers every hour once, with the level of that hour', () => {
    const cells = cellsOf(carpetPaths(pictures.carpet));
    expect(cells.size).toBe(8760);
    pictures.carpet.forEach((v, i) => {
      expect(cells.get(`${Math.floor(i / 24)},${i % 24}`)).toBe(v < 0 ? -1 : Math.min(Math.floor(v * 25), 24));
    });
  });

  it('stays small even when every hour differs from its neighbours', () => {
    const noise = Float32Array.from({ length: 8760 }, (_, i) => (i % 9 === 4 ? -1 : ((i * 7919) % 97) / 97));
    expect(carpetPlot(noise, 0).length).toBeLessThan(250_000);
    expect(carpetPlot(pictures.carpet, pictures.startDay).length).toBeLessThan(60_000);
  });

  it('counts dark hours and the longest spell', () => {
    const year = new Float32Array(8760).fill(0.5);
    year.fill(-1, 24 * 40 + 3, 24 * 40 + 33);
    year[100] = -1;
    // Day 40 from 1 July is 10 August.
    expect(carpetSentence(year, 181)).toBe(
      'The worst year has 31 dark hours; the longest spell begins on 10 Aug and lasts 30 h.',
    );
    expect(carpetSentence(new Float32Array(8760).fill(0.5), 0)).toBe('Even the worst year has no dark hour.');
  });

  it('hatches the dark hours', () => {
    expect(fills(carpetPlot(pictures.carpet, 0, { id: 'c' })).filter((f) => f === 'url(#c-hatch)').length).toBe(2);
    expect(fills(carpetPlot(new Float32Array(8760), 0, { id: 'c' })).filter((f) => f === 'url(#c-hatch)').length).toBe(
      1,
    );
  });

  it('draws odd values without a stray one', () => {
    fc.assert(
      fc.property(many(240), fc.integer({ min: 0, max: 364 }), options, (a, startDay, o) => {
        checkPicture(carpetPlot(a, startDay, o));
      }),
      RUNS,
    );
    checkPicture(carpetPlot([], 0));
  });
});

describe('harvest', () => {
  it('names the tightest month and hatches those that fall short', () => {
    expect(harvestSentence(outcome.months)).toMatch(/^December is tightest: 1\.12 Wh a day .* 2 months fall short\.$/);
    const hatched = fills(harvestChart(outcome.months, { id: 'h' })).filter((f) => f === 'url(#h-hatch)').length;
    expect(hatched).toBe(3); // two months and the key
  });

  it('the heights of the bars are as the harvests', () => {
    const { root } = checkPicture(harvestChart(outcome.months));
    const bars = descendants(root).filter(
      (e) => e.name === 'rect' && e.attributes.get('class') === 'sp-f-sun' && Number(e.attributes.get('height')) > 10.5,
    );
    const heights = bars.map((e) => Number(e.attributes.get('height')));
    const full = outcome.months.filter((m) => m.harvest_Wh_day >= m.need_Wh_day).map((m) => m.harvest_Wh_day);
    expect(heights.length).toBe(full.length);
    heights.forEach((h, i) => {
      expect(h / heights[0]!).toBeCloseTo(full[i]! / full[0]!, 2);
    });
  });

  it('draws odd values without a stray one', () => {
    fc.assert(
      fc.property(many(12), many(12), options, (a, b, o) => {
        const months = outcome.months.map(
          (m, i): MonthSummary => ({ ...m, harvest_Wh_day: a[i]!, need_Wh_day: b[i]! }),
        );
        checkPicture(harvestChart(months, o));
      }),
      RUNS,
    );
    checkPicture(harvestChart([]));
  });
});

describe('dark spells', () => {
  it('tells the ten-year spells and draws a line for each length', () => {
    expect(spellsSentence(pictures.spells)).toMatch(/^Once in 10 years .*3 days 11 %, 5 days 20 %/);
    const svg = spellsChart(pictures.spells);
    for (const days of [3, 5, 7, 10]) expect(svg).toContain(`>${days} days<`);
  });

  it('draws odd values without a stray one', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ days: fc.integer({ min: 1, max: 30 }), period_years: odd, share: odd }), {
          maxLength: 12,
        }),
        options,
        (spells, o) => {
          checkPicture(spellsChart(spells, o));
        },
      ),
      RUNS,
    );
  });
});

describe('frontier', () => {
  const map = pictures.frontier!;
  it('says on which side the kit lies', () => {
    expect(frontierSentence(map)).toContain('This kit lies on the side that does not.');
    expect(frontierSentence({ ...map, kit: { panel_W: 9, cells: 8 } })).toContain('on the side that holds');
    expect(frontierSentence({ ...map, frontier: [] })).toContain('No design on the map');
  });

  it('places a kit between the columns of the map', () => {
    expect(columnPlace([1, 2, 4], 1)).toBe(0.5);
    expect(columnPlace([1, 2, 4], 3)).toBe(2);
    expect(columnPlace([1, 2, 4], 4)).toBe(2.5);
    expect(columnPlace([1, 2, 4], 9)).toBeCloseTo(2.9);
    expect(columnPlace([1, 2, 4], 0.2)).toBeCloseTo(0.1);
  });

  it('draws odd values without a stray one', () => {
    const arbitrary = fc.record({
      panel_W: fc
        .uniqueArray(fc.double({ min: 0.1, max: 50, noNaN: true }), { maxLength: 25 })
        .map((a) => a.sort((x, y) => x - y)),
      cells: fc.uniqueArray(fc.integer({ min: 1, max: 40 }), { maxLength: 25 }).map((a) => a.sort((x, y) => x - y)),
      darkYearShare: fc.array(fc.array(odd, { maxLength: 25 }), { maxLength: 25 }),
      target: odd,
      frontier: fc.array(
        fc.record({ panel_W: odd, cells: odd, tilt_deg: odd, darkYearShare: odd, upper: odd, years: odd }),
        { maxLength: 5 },
      ),
      kit: fc.option(fc.record({ panel_W: odd, cells: odd })),
    });
    fc.assert(
      fc.property(arbitrary, options, (m: FrontierMap, o) => {
        checkPicture(frontierChart(m, o));
      }),
      RUNS,
    );
  });
});

describe('ageing', () => {
  it('tells the years to 80 %, or that ageing is not modelled', () => {
    expect(ageingSentence(outcome.ageing)).toContain('after 12.1 to 24.6 years');
    expect(ageingSentence({ ...outcome.ageing, modelled: false })).toBe('Ageing is not modelled for these cells.');
    expect(ageingChart({ ...outcome.ageing, modelled: false })).toContain('not modelled');
  });

  it('draws odd values without a stray one', () => {
    fc.assert(
      fc.property(
        many(8),
        many(8),
        many(8),
        fc.option(fc.record({ low: odd, high: odd })),
        fc.boolean(),
        options,
        (years, a, b, yearsTo80, modelled, o) => {
          const curve: AgeingCurve = {
            ...outcome.ageing,
            years,
            capacityShare: a,
            capacityShareSecond: b.slice(0, 5),
            yearsTo80,
            modelled,
          };
          checkPicture(ageingChart(curve, o));
        },
      ),
      RUNS,
    );
  });
});

describe('sun paths', () => {
  it('climb at the solstices to 90° − latitude ± obliquity', () => {
    // Obliquity 23.44° (Reda & Andreas 2004, eq. 24 for 2025), from geometry; parallax lowers the sun by up to 0.002°.
    const top = (month: number, day: number) =>
      Math.max(...dayPath(46.4, 10.2, month, day).map((s) => s.elevation_deg));
    expect(top(6, 21)).toBeCloseTo(90 - 46.4 + 23.44, 1);
    expect(top(12, 21)).toBeCloseTo(90 - 46.4 - 23.44, 1);
    expect(Math.abs(top(3, 20) - (90 - 46.4))).toBeLessThan(0.3);
  });

  it('are counted over the horizon', () => {
    const place = { latitude_deg: 46.4, longitude_deg: 10.2, darkestMonth: 12 };
    expect(sunPathSentence({ ...place, horizon_deg: null })).toContain('No horizon was given');
    expect(sunPathSentence({ ...place, horizon_deg: new Float32Array(360) })).toContain('hides none of it');
    const hours = (s: string) => Number(/up ([\d.]+) h/.exec(s)![1]);
    const wall = sunPathSentence({ ...place, horizon_deg: new Float32Array(360).fill(60) });
    expect(wall).toContain(`hides ${hours(wall).toFixed(1)} h of it`);
    // Length of day from cos ω = −tan φ tan δ, δ = −23.26° on 15 December: 8.4 h (Duffie & Beckman 2013, eq. 1.6.11)
    const day_h =
      (2 / 15) * (180 / Math.PI) * Math.acos(Math.tan((46.4 * Math.PI) / 180) * Math.tan((23.26 * Math.PI) / 180));
    // Steps of five minutes at both ends.
    expect(Math.abs(hours(wall) - day_h)).toBeLessThan(0.15);
    expect(sunPathSentence({ latitude_deg: 70, longitude_deg: 20, darkestMonth: 12, horizon_deg: null })).toContain(
      'stays below the horizon',
    );
  });

  it('draw from pole to pole, with odd horizons', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -90, max: 90, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        fc.integer({ min: 1, max: 12 }),
        fc.option(many(360)),
        options,
        (latitude_deg, longitude_deg, darkestMonth, h, o) => {
          const horizon_deg = h === null ? null : Float32Array.from(h);
          checkPicture(sunPathChart({ latitude_deg, longitude_deg, darkestMonth, horizon_deg }, o));
        },
      ),
      { seed: 1, numRuns: 25 },
    );
    for (const latitude_deg of [-90, -23.44, 0, 23.44, 66.56, 90])
      checkPicture(sunPathChart({ latitude_deg, longitude_deg: 180, darkestMonth: 6, horizon_deg: null }));
  });
});

describe('map', () => {
  const places = samplePlaces();
  it('counts and shows every place, each with its verdict in words', () => {
    const svg = whereMap(places);
    const { root } = checkPicture(svg);
    const tips = descendants(root).filter((e) => e.name === 'title' && e.attributes.size === 0);
    expect(tips.map((e) => e.text).sort()).toEqual(places.map((p) => `${p.name}: ${p.verdict}`).sort());
    for (const v of WHERE_VERDICTS) expect(svg).toContain(`${v}: ${places.filter((p) => p.verdict === v).length}<`);
    expect(svg.length).toBeLessThan(60_000);
  });

  it('says where it holds', () => {
    const at = (verdict: 'holds' | 'cannot' | 'bigger panel') => ({
      name: 'a',
      latitude_deg: 0,
      longitude_deg: 0,
      verdict,
    });
    expect(whereSentence([at('holds'), at('holds'), at('bigger panel'), at('cannot')])).toBe(
      'Holds at 2 of 4 places (50 %); needs a bigger panel at 1, cannot at 1.',
    );
  });

  it('the outline of the land lies on the globe, and where land is', () => {
    // Even-odd count of crossings along the parallel, in the grid of the file.
    const rings = LAND_PATH.split('M')
      .slice(1)
      .map((ring) => {
        const numbers = ring.match(/-?\d+/g)!.map(Number);
        const points = [[numbers[0]!, numbers[1]!]];
        for (let i = 2; i < numbers.length; i += 2) {
          const last = points[points.length - 1]!;
          points.push([last[0]! + numbers[i]!, last[1]! + numbers[i + 1]!]);
        }
        return points;
      });
    const land = (latitude: number, longitude: number) => {
      const px = longitude * LAND_STEPS_PER_deg + 0.001;
      const py = -latitude * LAND_STEPS_PER_deg + 0.001;
      let inside = false;
      for (const ring of rings) {
        for (let i = 0; i < ring.length; i++) {
          const [ax, ay] = ring[i] as [number, number];
          const [bx, by] = ring[(i + 1) % ring.length] as [number, number];
          if (ay > py !== by > py && px < ax + ((py - ay) / (by - ay)) * (bx - ax)) inside = !inside;
        }
      }
      return inside;
    };
    // Common geography, no source: inland places and open sea on every continent and ocean.
    const inland = [
      [46.4, 10.2],
      [40, -100],
      [-10, -55],
      [20, 10],
      [60, 100],
      [-25, 135],
      [67, 178],
      [67, -172],
      [-44.3, 170.2],
      [72, -40],
    ];
    const sea = [
      [30, -40],
      [0, -150],
      [-30, 80],
      [0, 170],
      [45, -30],
      [-50, -20],
      [40, 5],
      [65, 0],
    ];
    for (const [lat, lon] of inland) expect(land(lat!, lon!), `land at ${lat}, ${lon}`).toBe(true);
    for (const [lat, lon] of sea) expect(land(lat!, lon!), `sea at ${lat}, ${lon}`).toBe(false);
  });

  it('draws odd places without a stray value', () => {
    const place = fc.record({
      name: fc.string({ unit: 'binary' }),
      latitude_deg: odd,
      longitude_deg: fc.oneof(odd, fc.double()),
      verdict: fc.constantFrom(...WHERE_VERDICTS),
    });
    fc.assert(
      fc.property(fc.array(place, { maxLength: 10 }), options, (p, o) => {
        checkPicture(whereMap(p, o));
      }),
      RUNS,
    );
  });
});

describe('a picture alone', () => {
  it('brings its colours for light and dark, and falls back to light where custom properties are not known', () => {
    const svg = fanChart(pictures as Pick<YearPictures, 'fan' | 'startDay' | 'marks'>);
    expect(svg).toContain('prefers-color-scheme:dark');
    expect(svg).toContain('fill:#1E292D;fill:var(--ink,#1E292D)');
    expect(svg).toContain('xmlns="http://www.w3.org/2000/svg"');
    expect(fanChart(pictures, { standalone: false })).not.toContain('<style');
    expect(svg).not.toMatch(/https?:\/\/(?!www\.w3\.org\/2000\/svg)/);
  });
});
