import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { getSpa, SPA_ZA } from 'nrel-spa';
import { afterAll, describe, expect, it } from 'vitest';
import { type PassOutcome, passesOf } from '../../src/app/pass.ts';
import { makeWeather } from '../../src/app/site.ts';
import { makeSupply } from '../../src/app/supply.ts';
import { type Hour, LENGTHS, tmy3 } from '../formats/weather/make.ts';
import { inCheckout, inputsOf } from './in-memory.ts';
import {
  type PlainHour,
  type PlainNode,
  type PlainResult,
  perWatt_W,
  planeLight_W_m2,
  runPlain,
} from './plain-rules.ts';

const KIT = readFileSync(inCheckout('examples/reference/kit.yaml'), 'utf8');
const PERCH = readFileSync(inCheckout('examples/reference/perch.yaml'), 'utf8');

const settings = ({ panel_W, cells, load_mA }: PlainNode, tilt_deg: number) => [
  `kit.panel.power_W=${panel_W}`,
  `kit.cells.count=${cells}`,
  `kit.load.average_mA=${load_mA}`,
  `perch.tilt_deg=${tilt_deg}`,
];

/** The tolerances of the reference: dark hours 10 % or 40 h, harvest 1 %, lowest charge 0.01, blocked hours 10 % or 20 h. */
function expectNear(got: PassOutcome, want: PlainResult): void {
  console.log(
    JSON.stringify({
      d: [got.dark_h, want.dark_h],
      h: got.harvest_Wh / want.harvest_Wh - 1,
      s: got.minStateOfCharge - want.minStateOfCharge,
      c: [got.coldBlocked_h, want.coldBlocked_h],
      n: [got.darkSpells, want.darkSpells],
      l: [got.longestDark_h, want.longestDark_h],
      u: [got.unserved_Wh, want.unserved_Wh],
      e: [got.endStateOfCharge, want.endStateOfCharge],
    }),
  );
  const within = (value: number, wanted: number, share: number, least: number, what: string) =>
    expect(Math.abs(value - wanted), `${what}: ${value} for ${wanted}`).toBeLessThanOrEqual(
      Math.max(share * wanted, least),
    );
  within(got.dark_h, want.dark_h, 0.1, 40, 'dark hours');
  within(got.harvest_Wh, want.harvest_Wh, 0.01, 0, 'harvest');
  within(got.minStateOfCharge, want.minStateOfCharge, 0, 0.01, 'lowest charge');
  within(got.coldBlocked_h, want.coldBlocked_h, 0.1, 20, 'hours blocked by cold');
  // The reference names no tolerance for these: a threshold that is passed an hour earlier splits or joins a spell.
  within(got.darkSpells, want.darkSpells, 0.15, 1, 'dark spells');
  within(got.longestDark_h, want.longestDark_h, 0.1, 40, 'longest spell');
  within(got.unserved_Wh, want.unserved_Wh, 0.1, 6, 'not served');
  within(got.endStateOfCharge, want.endStateOfCharge, 0, 0.02, 'charge at the end');
  const { harvest_Wh, load_Wh, curtailed_Wh, losses_Wh, stored_Wh, error_Wh } = got.balance;
  expect(Math.abs(error_Wh)).toBeLessThanOrEqual(1e-9 * harvest_Wh);
  expect(load_Wh + curtailed_Wh + losses_Wh + stored_Wh + error_Wh).toBeCloseTo(harvest_Wh, 6);
  expect(Math.abs(losses_Wh), 'plain mode has no losses but rounding').toBeLessThan(1e-9 * harvest_Wh);
}

const reference = fileURLToPath(new URL('../../../shared/reference/', import.meta.url));
const there = existsSync(`${reference}energy/reference-runs.json`);
const reason = there ? '' : ' (skipped: the shared reference folder with the real files is not beside this clone)';

interface Expected {
  readonly hours_off: number;
  readonly outages: number;
  readonly longest_outage_h: number;
  readonly unserved_Wh: number;
  readonly min_soc: number;
  readonly pv_available_Wh: number;
  readonly end_soc: number;
  readonly hours_charge_blocked_by_cold: number;
}
interface FileRuns {
  readonly file: string;
  readonly tilt: number;
  readonly cases: readonly (PlainNode & { readonly expected: Expected })[];
}

// Source: energy/reference-runs.json of the shared reference folder, an independent program over two real files.
describe.skipIf(!there)(`fourteen nodes against an independent program${reason}`, () => {
  const runs: FileRuns[] = there ? JSON.parse(readFileSync(`${reference}energy/reference-runs.json`, 'utf8')).runs : [];
  const cases = runs.flatMap(({ file, tilt, cases: list }) => list.map((node) => ({ file, tilt, ...node })));

  it('are all there', () => expect(cases).toHaveLength(14));

  it.each(cases)('$file: $panel_W W, $cells cells, $load_mA mA', async ({ file, tilt, expected: e, ...node }) => {
    const inputs = await inputsOf(KIT, PERCH, settings(node, tilt), `${reference}weather/${file}.gz`);
    const got = passesOf(inputs, 3, 1);
    expectNear(got, {
      dark_h: e.hours_off,
      darkSpells: e.outages,
      longestDark_h: e.longest_outage_h,
      unserved_Wh: e.unserved_Wh,
      minStateOfCharge: e.min_soc,
      endStateOfCharge: e.end_soc,
      harvest_Wh: e.pv_available_Wh,
      coldBlocked_h: e.hours_charge_blocked_by_cold,
    });
    expect(got.hours).toBe(8760);
    expect(got.verdict).toMatch(e.hours_off > 0 ? /goes dark in that year/ : /stays up through that year/);
  });
});

/** A plain of the north with dull, cold winters, invented; seeded, so that it is the same in every clone. */
const AT = { latitude_deg: 52.3, longitude_deg: 13.6, elevation_m: 60, utcOffset_h: 1 };

function inventYear(seed: number): Hour[] {
  let state = seed;
  // Multiplicative congruential generator of Park & Miller 1988.
  const next = () => {
    state = (state * 16807) % 2147483647;
    return state / 2147483647;
  };
  const hours: Hour[] = [];
  let clear = 0.5;
  let anomaly_K = 0;
  LENGTHS.forEach((days, m) => {
    for (let day = 1; day <= days; day++) {
      const season = Math.cos((2 * Math.PI * (m * 30.4 + day - 17)) / 365);
      clear = Math.min(0.98, Math.max(0.08, 0.5 * clear + 0.5 * (0.45 - 0.2 * season) + 0.6 * (next() - 0.5)));
      anomaly_K = 0.8 * anomaly_K + 7 * (next() - 0.5);
      for (let hour = 0; hour < 24; hour++) {
        const middle = new Date(Date.UTC(2001, m, day, hour) + (0.5 - AT.utcOffset_h) * 3_600_000);
        const { zenith } = getSpa(middle, AT.latitude_deg, AT.longitude_deg, 0, { function: SPA_ZA });
        const up = Math.max(0, Math.cos((zenith * Math.PI) / 180));
        const ghi = Math.round(1000 * clear * up ** 1.2);
        const dhi = Math.round(ghi * (1 - 0.85 * clear));
        const dni = up > 0.03 ? Math.min(950, Math.round((ghi - dhi) / up)) : 0;
        const temperature = Math.round(10 * (8 - 9.5 * season + anomaly_K + 3 * up)) / 10 + 0;
        hours.push({
          year: 2019,
          month: m + 1,
          day,
          hour,
          ghi,
          dni,
          dhi,
          temperature,
          wind: Math.round(50 * next()) / 10,
        });
      }
    }
  });
  return hours;
}

describe('an invented year against the plain rules written anew (their text: the shared reference runs; other sun)', () => {
  const folder = mkdtempSync(join(tmpdir(), 'plain-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const file = join(folder, 'plain-year.csv');
  const rows = inventYear(20);
  writeFileSync(file, `${tmy3(rows, AT).join('\n')}\n`);
  const year: PlainHour[] = rows.map((r) => ({
    month: r.month,
    day: r.day,
    hourEnding: r.hour + 1,
    ghi_W_m2: r.ghi,
    dni_W_m2: r.dni,
    dhi_W_m2: r.dhi,
    temperature_degC: r.temperature,
    wind_m_s: r.wind,
  }));
  const tilt_deg = 65;
  const ownPerWatt = year.map((hour) => perWatt_W(hour, planeLight_W_m2(hour, { ...AT, tilt_deg })));

  const NODES: PlainNode[] = [
    { panel_W: 1, cells: 1, load_mA: 15 },
    { panel_W: 2, cells: 2, load_mA: 40 },
    { panel_W: 5, cells: 2, load_mA: 40 },
    { panel_W: 10, cells: 2, load_mA: 60 },
    { panel_W: 20, cells: 8, load_mA: 15 },
  ];

  it.each(NODES)('the whole chain: $panel_W W, $cells cells, $load_mA mA', async (node) => {
    const got = passesOf(await inputsOf(KIT, PERCH, settings(node, tilt_deg), file), 3, 1);
    const want = runPlain(
      year,
      ownPerWatt.map((w) => w * node.panel_W),
      node,
    );
    expectNear(got, want);
  });

  it.each(NODES)('the account alone, to the hour: $panel_W W, $cells cells, $load_mA mA', async (node) => {
    const inputs = await inputsOf(KIT, PERCH, settings(node, tilt_deg), file);
    const got = passesOf(inputs, 3, 1);
    const { kit, perch, plan } = inputs;
    const supply = makeSupply(kit, perch, plan, makeWeather(plan, perch, 1));
    expect(supply.hours.nodes).toBe(1);
    const want = runPlain(year, supply.hours.available_W, node);
    const { dark_h, darkSpells, longestDark_h, coldBlocked_h } = want;
    expect(got).toMatchObject({ dark_h, darkSpells, longestDark_h, coldBlocked_h });
    for (const key of ['harvest_Wh', 'unserved_Wh', 'minStateOfCharge', 'endStateOfCharge'] as const)
      expect(got[key], key).toBeCloseTo(want[key], 6);
  });

  it('the year holds what it is for: dark and bright nodes, and hours blocked by cold', () => {
    const results = NODES.map((node) =>
      runPlain(
        year,
        ownPerWatt.map((w) => w * node.panel_W),
        node,
      ),
    );
    expect(results[1]!.dark_h).toBeGreaterThan(300);
    expect(results.at(-1)!.dark_h).toBe(0);
    for (const { coldBlocked_h } of results) expect(coldBlocked_h).toBeGreaterThan(100);
  });
});
