/** Invented but plausible results, made by a seeded generator: a kit that goes dark in some winters of a deep valley. */
import type { MonthSummary, YearOutcome, YearPictures } from '../../src/core/energy/index.ts';
import { clopperPearson, createRandom } from '../../src/core/math/index.ts';
import { MONTH_START } from '../../src/core/units/index.ts';

const NEED_Wh = 1.32;
const START_DAY = MONTH_START[6]!;
const winter = (day: number) => (1 + Math.cos(((day - 355) / 365) * 2 * Math.PI)) / 2;

function months(): MonthSummary[] {
  const harvest = [1.31, 2.9, 5.8, 8.7, 10.1, 10.9, 11.4, 10.2, 7.6, 4.4, 1.9, 1.12];
  const dark = [31, 9.5, 0.4, 0, 0, 0, 0, 0, 0, 0, 1.1, 22];
  const share = [0.31, 0.12, 0.01, 0, 0, 0, 0, 0, 0, 0, 0.02, 0.24];
  const low = [0.08, 0.14, 0.47, 0.82, 0.87, 0.88, 0.88, 0.87, 0.85, 0.71, 0.44, 0.19];
  return harvest.map((h, m) => {
    const days = MONTH_START[m + 1]! - MONTH_START[m]!;
    const load = NEED_Wh * days - dark[m]! * 0.055;
    const losses = 0.04 * h * days;
    const spare = h * days - load - losses;
    const stored = Math.min(spare, 0);
    return {
      month: m + 1,
      harvest_Wh_day: h,
      need_Wh_day: NEED_Wh + 0.05 * Math.sin(m),
      poa_kWh_m2_day: h / 2.4,
      ghi_kWh_m2_day: h / 2.1,
      temperature_degC: 16 - 20 * winter((MONTH_START[m]! + MONTH_START[m + 1]!) / 2),
      dark_h: dark[m]!,
      darkShare: share[m]!,
      lowStateOfCharge: low[m]!,
      budget: {
        harvest_Wh: h * days,
        load_Wh: load,
        curtailed_Wh: Math.max(spare, 0),
        losses_Wh: losses,
        stored_Wh: stored,
        error_Wh: 0,
      },
    };
  });
}

export function sampleOutcome(): YearOutcome {
  const list = months();
  const years = 200;
  return {
    command: 'year',
    kit: 'Alder 3',
    perch: 'Hut Kaldra',
    verdict: 'Alder 3 at Hut Kaldra goes dark: in 38 of 100 winters, for 65 hours a year on average.',
    state: 'goes dark',
    years,
    seed: 1,
    weather: 'synthetic years from the nearest reference climate, 140 km away and 900 m lower',
    place: { latitude_deg: 46.4, longitude_deg: 10.2, elevation_m: 1780 },
    dark_h_per_year: { mean: 64.6, low: 51.2, high: 79.9 },
    darkYearShare: clopperPearson(76, years),
    darkSpells_per_year: 1.4,
    unserved_Wh_per_year: 3.55,
    minStateOfCharge: 0.021,
    coldBlocked_h_per_year: 412,
    plating_h_per_year: 0,
    lockUps_per_year: 0,
    falseRestarts_per_year: 0.2,
    ceiling_h_per_year: 3120,
    worstMonth: 1,
    longestDark_h: 291,
    autonomy_d: 19.4,
    recovery_d: 6.2,
    balance: {
      harvest_Wh: 2319.5,
      load_Wh: 478.2,
      curtailed_Wh: 1748.1,
      losses_Wh: 93.1,
      stored_Wh: 0.1,
      error_Wh: 2e-13,
    },
    months: list,
    ages: [0, 3, 5, 8].map((age, i) => ({
      age_years: age,
      capacityShare: [1, 0.93, 0.89, 0.83][i]!,
      resistanceFactor: [1, 1.14, 1.23, 1.37][i]!,
      dark_h_per_year: { mean: 64.6 + 9 * i, low: 51 + 8 * i, high: 80 + 11 * i },
      darkYearShare: clopperPearson(76 + 6 * i, years),
    })),
    causes: [
      { cause: 'panel', removed: 'a panel of twice the power', darkLeft_h_per_year: 0, explains: 1 },
      { cause: 'shade', removed: 'a level horizon and no trees', darkLeft_h_per_year: 4.1, explains: 0.94 },
      { cause: 'load', removed: 'half the load', darkLeft_h_per_year: 7.7, explains: 0.88 },
      { cause: 'cold', removed: 'charging allowed below 0 °C', darkLeft_h_per_year: 38, explains: 0.41 },
      { cause: 'cells', removed: 'twice the cells', darkLeft_h_per_year: 42, explains: 0.35 },
      { cause: 'charger', removed: 'a charger without losses that tracks', darkLeft_h_per_year: 51, explains: 0.21 },
    ],
    changes: [
      {
        change: 'panel 4.5 W instead of 3.2 W',
        set: ['kit.panel.power_W=4.5'],
        darkYearShare: clopperPearson(3, years),
        holds: true,
      },
      {
        change: 'tilt 75° instead of 45°',
        set: ['perch.tilt_deg=75'],
        darkYearShare: clopperPearson(22, years),
        holds: false,
      },
      {
        change: 'four cells instead of three',
        set: ['kit.cells.count=4'],
        darkYearShare: clopperPearson(51, years),
        holds: false,
      },
    ],
    ageing: {
      modelled: true,
      years: [0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15],
      capacityShare: [1, 0.966, 0.945, 0.927, 0.911, 0.896, 0.881, 0.853, 0.827, 0.801, 0.764],
      capacityShareSecond: [1, 0.98, 0.969, 0.96, 0.952, 0.944, 0.937, 0.923, 0.909, 0.896, 0.878],
      yearsTo80: { low: 12.1, high: 24.6 },
      ceilings: [0.8, 0.85, 0.9, 0.95, 1].map((ceiling, i) => ({
        ceiling_soc: ceiling,
        yearsTo80: 14.9 - 0.8 * i,
        darkYearShare: 0.43 - 0.02 * i,
        autonomy_d: 17 + 1.2 * i,
      })),
      warnings: ['Below 20 °C the calendar ageing is an extrapolation.'],
    },
    strip: { darkShare: list.map((m) => m.darkShare), lowStateOfCharge: list.map((m) => m.lowStateOfCharge) },
    assumptions: [
      { field: 'perch.albedo', value: '0.2, 0.6 with snow', why: 'not given: grass, and snow from the temperature' },
      { field: 'kit.cells.resistance_mohm', value: '45', why: 'not given: taken from the part library' },
      { field: 'perch.snow', value: 'on', why: 'the climate has months below 0 °C' },
    ],
    cautions: [
      {
        code: 'cold-charge',
        text: 'Charging lithium cells below 0 °C plates lithium and can make them unsafe: keep the charger’s cold lock-out. Local law, codes and licensed practice decide; these figures are estimates.',
      },
      { code: 'height', text: 'Work at height: secure yourself and the tools; keep clear of overhead lines.' },
    ],
  };
}

export function samplePictures(): YearPictures {
  const random = createRandom(7);
  const fan = {
    p01: [] as number[],
    p10: [] as number[],
    p50: [] as number[],
    p90: [] as number[],
    dark: [] as number[],
  };
  for (let d = 0; d < 365; d++) {
    const w = winter(START_DAY + d - 14);
    const noise = () => (random.next() - 0.5) * 0.015;
    fan.p90.push(Math.min(0.92, 0.92 - 0.16 * w ** 4 + noise()));
    fan.p50.push(0.9 - 0.42 * w ** 3 + noise());
    fan.p10.push(Math.max(0.02, 0.88 - 0.83 * w ** 2.2 + noise()));
    fan.p01.push(Math.max(0.015, 0.86 - 1.1 * w ** 1.7 + noise()));
    fan.dark.push(Math.round(Math.max(0, 0.21 * w ** 6 - 0.02) * 200) / 200);
  }
  const carpet = new Float32Array(8760);
  let soc = 0.9;
  let off = false;
  for (let d = 0; d < 365; d++) {
    const w = winter(START_DAY + d);
    const cloud = random.next();
    for (let h = 0; h < 24; h++) {
      const sun = Math.max(0, Math.sin(((h - 6) / 12) * Math.PI)) * (1 - 0.93 * w) * cloud * 0.06;
      soc = Math.min(0.92, soc + sun - (off ? 0 : 0.0021));
      if (soc < 0.03) off = true;
      if (soc > 0.12) off = false;
      soc = Math.max(soc, 0.02);
      carpet[d * 24 + h] = off ? -1 : soc;
    }
  }
  const horizon_deg = new Float32Array(360);
  for (let a = 0; a < 360; a++)
    horizon_deg[a] = 9 + 6 * Math.sin(a / 23) + 4 * Math.sin(a / 7 + 1) + 7 * Math.exp(-(((a - 205) / 18) ** 2));
  const panel_W = Array.from({ length: 20 }, (_, i) => 0.5 + 0.5 * i);
  const cells = Array.from({ length: 12 }, (_, i) => i + 1);
  const share = (w: number, n: number) => 1 / (1 + Math.exp(2.1 * (w - 3.4) + 0.55 * (n - 3)));
  const darkYearShare = cells.map((n) => panel_W.map((w) => (share(w, n) < 0.002 ? 0 : share(w, n))));
  const frontier = cells
    .map((n, r) => ({ n, column: darkYearShare[r]!.findIndex((s) => s <= 0.03) }))
    .filter(({ column }, r, all) => column >= 0 && (r === 0 || column < all[r - 1]!.column))
    .map(({ n, column }) => ({
      panel_W: panel_W[column]!,
      cells: n,
      tilt_deg: 70,
      darkYearShare: share(panel_W[column]!, n),
      upper: 0.05,
      years: 400,
    }));
  const spells = [3, 5, 7, 10].flatMap((days, i) =>
    [2, 5, 10, 20, 50, 100].map((period) => ({
      days,
      period_years: period,
      share: Math.max(0.04, 0.17 + 0.085 * i - 0.035 * Math.log(period / 2)),
    })),
  );
  return {
    fan,
    carpet,
    carpetYear: 87,
    startDay: START_DAY,
    horizon_deg,
    spells,
    frontier: { panel_W, cells, darkYearShare, target: 0.05, frontier, kit: { panel_W: 3.2, cells: 3 } },
    marks: { ceiling: 0.92, cutoff: 0.03, reconnect: 0.12 },
  };
}

/** Places for the map and the table of `where`. */
export function samplePlaces() {
  const random = createRandom(3);
  const verdicts = ['holds', 'one more cell', 'bigger panel', 'cannot'] as const;
  return Array.from({ length: 100 }, (_, i) => {
    const latitude_deg = -50 + 118 * random.next();
    const hard = Math.min(3, Math.floor(Math.max(0, (Math.abs(latitude_deg) - 38) / 9) + random.next()));
    return {
      name: `Place ${i + 1}`,
      latitude_deg,
      longitude_deg: -180 + 360 * random.next(),
      verdict: verdicts[hard]!,
    };
  });
}
