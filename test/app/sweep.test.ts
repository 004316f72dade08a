import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import type { Ports } from '../../src/app/ports.ts';
import { type SweepBatchOutcome, type SweepOutcome, sweep } from '../../src/app/sweep.ts';
import { sweepChart } from '../../src/report/index.ts';
import { checkPicture } from '../report/xml.ts';
import { PORTS, portsWith, problemsOf } from './real-ports.ts';

const golden = (name: string) => fileURLToPath(new URL(`../golden/${name}`, import.meta.url));
const one = async (ports: Ports, request: Parameters<typeof sweep>[1]) =>
  (await sweep(ports, request)).outcome as SweepOutcome;

/** A resonant circuit in series, R at resonance and quality Q: reflection against 50 ohms. */
function resonant(f0_MHz: number, r_Ohm: number, q: number): string {
  const lines = ['! a series circuit', '# MHz S RI R 50'];
  for (let f = 800; f <= 940; f += 2) {
    const x = r_Ohm * q * (f / f0_MHz - f0_MHz / f);
    // S = (Z - 50)/(Z + 50)
    const size = (r_Ohm + 50) ** 2 + x * x;
    lines.push(`${f} ${((r_Ohm - 50) * (r_Ohm + 50) + x * x) / size} ${(100 * x) / size}`);
  }
  return lines.join('\n');
}

const files = (texts: Readonly<Record<string, string>>): Ports => ({
  ...PORTS,
  readText: async (path) => texts[path]!,
});

describe('sweep', () => {
  // Synthetic antenna of the shared reference folder, tolerance 0.0005: markers, best match and the range within 2.
  it.each(['ant_ri.s1p', 'ant_ma.s1p', 'ant_db.s1p'])(
    '%s gives the values that the antenna was made with',
    async (name) => {
      const told = await one(PORTS, { files: [golden(name)], markers_MHz: [868, 915] });
      expect(told.points).toBe(101);
      expect(Math.abs(told.minVswr - 1.19048)).toBeLessThan(0.0005);
      expect(told.atMinVswr_MHz).toBe(892);
      expect(told.markers.map((m) => m.frequency_MHz)).toEqual([868, 915]);
      expect(Math.abs(told.markers[0]!.vswr - 2.02721)).toBeLessThan(0.0005);
      expect(Math.abs(told.markers[1]!.vswr - 1.9432)).toBeLessThan(0.0005);
      expect(Math.abs(told.markers[0]!.returnLoss_dB - 9.38768)).toBeLessThan(0.0005);
      expect(told.usable).toEqual({ from_MHz: 870, to_MHz: 916, limitVswr: 2 });
    },
  );

  it('gives the worst over a band, from a region too', async () => {
    const text = resonant(868, 50, 8);
    const told = await one(files({ 'a.s1p': text }), { files: ['a.s1p'], region: 'EU', limitVswr: 1.5 });
    expect(told.band).toMatchObject({ from_MHz: 863, to_MHz: 870 });
    // At 863 MHz the reactance is 50·8·(863/868 - 868/863) = -4.621 ohms: |S| = |x|/hypot(100, x), ratio 1.0970.
    expect(told.band!.worstVswr).toBeCloseTo(1.097, 3);
    expect(told.usable!.limitVswr).toBe(1.5);
  });

  it('finds the one of a batch that is tuned elsewhere', async () => {
    const texts = Object.fromEntries(
      [867, 868, 869, 868, 866, 870, 842].map((f, i) => [`unit-${i + 1}.s1p`, resonant(f, 44 + i, 9)]),
    );
    const { outcome, picture } = await sweep(files(texts), {
      files: Object.keys(texts),
      band_MHz: { from_MHz: 863, to_MHz: 870 },
      markers_MHz: [868],
    });
    const told = outcome as SweepBatchOutcome;
    expect(told.outliers).toEqual(['unit-7.s1p']);
    expect(told.worst).toBe('unit-7.s1p');
    expect(told.sweeps.map((s) => s.keepsLimit)).toEqual([true, true, true, true, true, true, true]);
    expect(told.spread[0]!.highVswr).toBeGreaterThan(told.spread[0]!.medianVswr);
    const { title, description } = checkPicture(sweepChart(picture));
    expect(title).toBe('Match of 7 antennas');
    expect(description).toContain('unit-7.s1p');
  });

  it('says when there are too few to tell outliers, and what band it took', async () => {
    const texts = { a: resonant(868, 50, 8), b: resonant(868, 60, 8) };
    const told = (await sweep(files(texts), { files: ['a', 'b'] })).outcome as SweepBatchOutcome;
    expect(told.verdict).toContain('Fewer than five tell no outliers');
    expect(told.assumptions.map((a) => a.field)).toContain('--band');
    expect(told).toMatchObject({ from_MHz: 800, to_MHz: 940 });
  });

  const bad = (text: string) => problemsOf(() => sweep(portsWith(text), { files: ['x.s1p'] }));
  it.each([
    ['two ports', '# MHz S RI R 50\n868 0.1 0 0.2 0 0.2 0 0.1 0\n', /nine numbers: the file is of a two-port/],
    ['no number', '# MHz S RI R 50\n868 NaN 0\n', /"NaN" stands where the first part/],
    ['unsorted', '# MHz S RI R 50\n868 0.1 0\n867 0.1 0\n', /does not rise above the row before/],
    ['no data', '# MHz S RI R 50\n', /no data/],
    ['no option line', '868e6 0.1 0\n', /There is no option line, so GHz is taken/],
  ])('%s is told', async (_, text, sentence) => {
    expect((await bad(text)).map((p) => p.message).join()).toMatch(sentence);
  });

  it('tells what is wrong with all files at once', async () => {
    const texts = { a: '# MHz S RI R 50\n', b: '# kHz Q RI\n1 2 3\n', c: resonant(868, 50, 8) };
    const found = await problemsOf(() => sweep(files(texts), { files: ['a', 'b', 'c'] }));
    expect(found.length).toBe(2);
  });

  it('markers, bands and regions outside are told', async () => {
    const ports = files({ a: resonant(868, 50, 8) });
    const told = async (more: object) => (await problemsOf(() => sweep(ports, { files: ['a'], ...more })))[0]!.message;
    expect(await told({ markers_MHz: [2400] })).toContain('The marker at 2400 MHz lies outside the sweep');
    expect(await told({ band_MHz: { from_MHz: 700, to_MHz: 870 } })).toContain('does not cover the band');
    expect(await told({ band_MHz: { from_MHz: 870, to_MHz: 863 } })).toContain('its end lies above its start');
    expect(await told({ region: 'Mars' })).toContain('is no region of the table');
    expect(await told({ limitVswr: 1 })).toContain('lies above 1');
    expect(await told({ region: 'EU', band_MHz: { from_MHz: 863, to_MHz: 870 } })).toContain('keep one');
  });
});
