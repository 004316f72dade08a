import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { FIGURES } from '../../src/report/index.ts';
import {
  bandOf,
  cellsOf,
  distinct,
  judge,
  kitSettings,
  markersOf,
  spreadSentence,
  sweepCsv,
  sweepReadout,
} from '../../src/web/pages/reach/sweep-values.ts';

const golden = (name: string) => ({ name, text: readFileSync(`test/golden/${name}`, 'utf8') });
const USUAL = { region: '', markers_MHz: [868, 915], limitVswr: 2 };

describe('sweeps that were dropped', () => {
  // source: synthetic antenna of the shared reference folder: ratios at 868 and 915 MHz, range within 2; tolerance 0.0005
  it('are judged as on the command line', async () => {
    const { judged, problems } = await judge([golden('ant_ri.s1p')], USUAL);
    expect(problems).toEqual([]);
    const [row] = judged!.rows;
    expect(Math.abs(row!.markers[0]!.vswr - 2.02721)).toBeLessThan(0.0005);
    expect(Math.abs(row!.markers[1]!.vswr - 1.9432)).toBeLessThan(0.0005);
    expect(cellsOf(row!, FIGURES)).toEqual(['ant_ri.s1p', 'within the limit ●', '1.19', '892', '870–916', '–', '–']);
    expect(sweepReadout(judged!.picture, 0.5, FIGURES)).toMatch(
      /^[\d.]+ MHz: standing-wave ratio [\d.]+, return loss [\d.]+ dB, [\d.]+ dB lost$/,
    );
    expect(sweepCsv(judged!.picture)).toHaveLength(102);
  });

  it('are told by file and line where they cannot be read, and the others are judged all the same', async () => {
    const good = golden('ant_ma.s1p');
    const lines = good.text.split('\n');
    const at = lines.findIndex((l) => /^\d/.test(l)) + 3;
    lines[at] = 'eight 1 2';
    const { judged, problems } = await judge([good, { name: 'bad.s1p', text: lines.join('\n') }], USUAL);
    expect(judged!.rows.map((r) => r.file)).toEqual(['ant_ma.s1p']);
    expect(problems[0]!.message).toMatch(/bad\.s1p/);
    expect(problems[0]!.message).toContain(String(at + 1));
    expect((await judge([{ name: 'x.s1p', text: '' }], USUAL)).judged).toBe(null);
  });

  it('of one name are told apart; a batch has its spread', async () => {
    const twice = [golden('ant_db.s1p'), golden('ant_db.s1p')];
    expect(distinct(twice).map((f) => f.name)).toEqual(['ant_db.s1p', 'ant_db.s1p (2)']);
    const { judged } = await judge(twice, USUAL);
    expect(judged!.rows.map((r) => r.outlier)).toEqual([false, false]);
    expect(spreadSentence(judged!.batch!, FIGURES)).toBe('They do not differ over the band.');
    const point = { frequency_MHz: 868.3, lowVswr: 1.1, medianVswr: 1.5, highVswr: 2.4 };
    expect(spreadSentence({ ...judged!.batch!, spread: [point] }, FIGURES)).toContain(
      'furthest apart at 868.3 MHz, from 1.10 to 2.40, half of them below 1.50',
    );
    expect(sweepReadout(judged!.picture, 0.2, FIGURES)).toContain('(ant_db.s1p)');
  });

  it('keep what lies in their range: markers and bands beyond it are told', async () => {
    const { judged, problems } = await judge([golden('ant_ri.s1p')], {
      ...USUAL,
      region: 'US',
      markers_MHz: [868, 2400],
    });
    expect(judged!.rows[0]!.markers).toHaveLength(1);
    expect(problems.map((p) => p.message).join(' ')).toContain(
      'The marker at 2400 MHz is left out: ant_ri.s1p runs from',
    );
    // source: the region's rules, 902 to 928 MHz (47 CFR 15.247)
    expect(bandOf('US')).toEqual({ from_MHz: 902, to_MHz: 928 });
    expect(bandOf('')).toBe(undefined);
  });

  it('have markers as somebody types them', () => {
    expect(markersOf('868.3, 915', '.')).toEqual([868.3, 915]);
    expect(markersOf('868,3; 915', ',')).toEqual([868.3, 915]);
    expect(markersOf(' ', '.')).toEqual([]);
    expect(markersOf('868 MHz', '.')).toMatchObject({ message: expect.stringContaining('"MHz" is no frequency') });
    expect(markersOf('1 2 3 4 5 6 7 8 9', '.')).toMatchObject({ code: 'sweep.markers' });
  });

  it('go into a kit as its ratio at the carrier', () => {
    const marker = { frequency_MHz: 868.3, vswr: 1.4567, returnLoss_dB: 14.6, mismatchLoss_dB: 0.15 };
    expect(kitSettings({ antenna: {} }, marker)).toMatchObject({ settings: ['kit.antenna.vswr=1.46'] });
    expect(kitSettings({ antenna: { sweep: 'a.s1p' } }, marker)).toMatchObject({
      settings: ['kit.antenna.sweep=null', 'kit.antenna.vswr=1.46'],
    });
    expect(kitSettings({}, marker)).toMatchObject({ settings: ['kit.antenna.gain_dBi=2', 'kit.antenna.vswr=1.46'] });
    expect(kitSettings({}, { ...marker, vswr: Number.POSITIVE_INFINITY })).toContain('no antenna for this kit');
  });
});
