// source: the issue "The bench": papers by market as dated facts with source, a checklist per batch with the evidence attached
import { describe, expect, it } from 'vitest';
import { antennaCheck } from '../../../src/app/bench/antenna-check.ts';
import {
  evidenceFiles,
  evidenceIn,
  evidenceName,
  evidenceType,
  setEvidenceAside,
  takeEvidence,
} from '../../../src/app/bench/evidence.ts';
import { batchPapers, notePaperText } from '../../../src/app/bench/market-papers.ts';
import { MARKET_ROWS } from '../../../src/app/bench/market-rows.ts';
import { REGIONS } from '../../../src/records/bench/index.ts';
import type { Kit } from '../../../src/records/index.ts';
import { readGolden } from '../../golden.ts';
import { PLAN, testBench } from './bench.ts';

const day = '2026-11-25';
const at = (d: string) => ({ day: d });

describe('the rows', () => {
  it('have keys of their own, whom they fall on, what shows them, a source and how far it was read', () => {
    for (const region of REGIONS) {
      const rows = MARKET_ROWS[region];
      expect(new Set(rows.map((r) => r.paper)).size).toBe(rows.length);
      for (const row of rows) {
        for (const text of [row.name, row.wants, row.of, row.proof, row.source]) expect(text).not.toBe('');
        expect(row.asOf).toMatch(/^\d{4}-\d\d-\d\d$/);
        expect(row.where.length > 0).toBe(row.seen !== 'from memory');
        for (const address of row.where) expect(URL.canParse(address)).toBe(true);
        if (row.seen === 'partly read') expect(row.doubt).toBeDefined();
      }
    }
  });

  it('promise nothing', () => {
    expect(JSON.stringify(MARKET_ROWS)).not.toMatch(/guarantee|you are compliant|is legal|certainly/i);
    // What the issue names: host label, antenna, unintentional radiator, declaration, marking, batteries, electronic waste.
    const keys = (region: 'US' | 'EU' | 'UK') => MARKET_ROWS[region].map((r) => r.paper);
    expect(keys('US')).toEqual(expect.arrayContaining(['host-label', 'antenna', 'unintentional-radiator']));
    const both = ['antenna', 'declaration', 'battery-register', 'electronic-waste'];
    expect(keys('EU')).toEqual(expect.arrayContaining([...both, 'ce-marking']));
    expect(keys('UK')).toEqual(expect.arrayContaining([...both, 'ukca-marking']));
  });

  it.each(readGolden('market-dates.csv').rows)('$region $paper says $says', ({ region, paper, says, where }) => {
    const row = MARKET_ROWS[region as 'EU'].find((r) => r.paper === paper)!;
    expect(row.wants).toContain(says);
    if (where!.startsWith('https')) expect(row.where).toContain(where);
    // A day that stands in `from` is one that the sentence names.
    if (row.from === undefined) return;
    const told = new Date(row.from).toLocaleDateString('en-GB', {
      day: 'numeric',
      month: 'long',
      year: 'numeric',
      timeZone: 'UTC',
    });
    expect(row.wants).toContain(told);
  });
});

describe('the papers of a batch', () => {
  it('are missing until evidence is noted', async () => {
    const bench = await testBench();
    const before = batchPapers(bench.state, 'a-07', at(day));
    expect(before.verdict).toMatch(/antenna permitted, .*EU declaration of conformity, CE marking/);
    expect(before.missing).toHaveLength(before.papers.filter((p) => p.asked).length);
    await bench.do((s) => notePaperText(s, 'a-07', 'declaration=there:DoC-3.pdf: signed'));
    const after = batchPapers(bench.state, 'a-07', at(day));
    expect(after.missing).not.toContain('declaration');
    expect(after.papers.find((p) => p.paper === 'declaration')).toMatchObject({
      state: 'there',
      evidence: 'DoC-3.pdf: signed',
    });
    await bench.do((s) => notePaperText(s, 'a-07', 'declaration=asked for'));
    expect(batchPapers(bench.state, 'a-07', at(day)).missing).toContain('declaration');
    expect(() => notePaperText(bench.state, 'a-07', 'declaraton=there')).toThrow(/did you mean declaration/);
    expect(() => notePaperText(bench.state, 'a-07', 'declaration=done')).toThrow(/no state/);
  });

  it('follow the calendar: a row is told before its day and counts from it', async () => {
    const { state } = await testBench();
    const of = (d: string) => batchPapers(state, 'a-07', at(d));
    expect(of('2027-02-17').missing).not.toContain('battery-removable');
    expect(of('2027-02-17').notes.join()).toContain('battery that can be taken out: asked from 2027-02-18');
    expect(of('2027-02-18').missing).toContain('battery-removable');
    expect(of('2026-09-10').missing).not.toContain('cyber-reports');
    expect(of(day).missing).toContain('cyber-reports');
    expect(of(day).notes.join()).not.toMatch(/older than/);
    expect(of('2027-06-01').notes.join()).toMatch(/older than 180 days/);
  });
});

const PDF = new TextEncoder().encode('%PDF-1.7 a report');
const signed = { by: 'M. Öz', at: '2026-11-25T10:00:00Z' };

describe('evidence', () => {
  it('is kept with name, digest, person and day, and given back as it came', async () => {
    const bench = await testBench();
    const take = (name: string, token: string, content = PDF) =>
      takeEvidence(bench, { ...signed, token }, { batch: 'a-07', paper: 'declaration', name }, content);
    const { evidence, again } = await take('../../Erklärung "3".pdf', 't-1');
    expect(again).toBe(false);
    expect(evidence).toMatchObject({ name: 'Erklärung -3-.pdf', type: 'application/pdf', by: 'M. Öz', at: signed.at });
    expect(await bench.store.file(evidence.sha256)).toEqual(PDF);
    const row = batchPapers(bench.state, 'a-07', at(day)).papers.find((p) => p.paper === 'declaration')!;
    expect(row).toMatchObject({ state: 'there', files: [{ sha256: evidence.sha256 }] });
    expect(batchPapers(bench.state, 'a-07', at(day)).notes.join()).not.toMatch(/without evidence/);
    // The same once more, and one of another name with the same bytes, write nothing.
    const entries = bench.entries.length;
    expect((await take('again.pdf', 't-2')).again).toBe(true);
    expect(bench.entries).toHaveLength(entries);
    await take('second.txt', 't-3', new TextEncoder().encode('Größe: 3 mm\n'));
    expect(evidenceFiles(bench.state, 'a-07').map((f) => f.file)).toEqual([
      'declaration-Erklärung -3-.pdf',
      'declaration-second.txt',
    ]);
    await expect(
      takeEvidence(bench, signed, { batch: 'a-07', paper: 'declaraton', name: 'x.pdf' }, PDF),
    ).rejects.toThrow(/did you mean declaration/);
  });

  it('that was brought by mistake is set aside with a reason, and its row is missing again', async () => {
    const bench = await testBench();
    const { evidence } = await takeEvidence(bench, signed, { batch: 'a-07', paper: 'declaration', name: 'x.pdf' }, PDF);
    const aside = { paper: 'declaration', sha256: evidence.sha256, reason: 'of another batch' };
    await bench.do((s) => setEvidenceAside(s, 'a-07', aside));
    expect(batchPapers(bench.state, 'a-07', at(day)).missing).toContain('declaration');
    expect(evidenceIn(bench.state, 'a-07', evidence.sha256.slice(0, 8)).setAside).toMatchObject({
      reason: 'of another batch',
    });
    expect(evidenceFiles(bench.state, 'a-07')).toEqual([]);
    expect(await bench.store.file(evidence.sha256)).toEqual(PDF);
    expect(() => setEvidenceAside(bench.state, 'a-07', aside)).toThrow(/no file/);
    // Brought again it counts again.
    await takeEvidence(bench, signed, { batch: 'a-07', paper: 'declaration', name: 'x.pdf' }, PDF);
    expect(evidenceFiles(bench.state, 'a-07')).toHaveLength(1);
  });

  it('is known by its bytes, within the limit, and by a name that any disk takes', () => {
    const bytes = (...list: number[]) => Uint8Array.from(list);
    expect(evidenceType(bytes(0xff, 0xd8, 0xff, 0xe0), 'x.pdf')).toBe('image/jpeg');
    expect(evidenceType(bytes(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a), 'x')).toBe('image/png');
    // A page is text here: it is saved, never shown.
    expect(evidenceType(new TextEncoder().encode('<script>1</script>'), 'x.html')).toBe('text/plain');
    for (const [content, why] of [
      [bytes(), /empty/],
      [bytes(0x4d, 0x5a, 0x90, 0x00), /this is none of them/],
      [bytes(0x50, 0x4b, 0x03, 0x04, 0xff), /this is none of them/],
      [new Uint8Array(10_000_001).fill(0x20), /at most 10 MB/],
    ] as const)
      expect(() => evidenceType(content, 'x')).toThrow(why);
    expect(evidenceType(new Uint8Array(10_000_000).fill(0x20), 'x')).toBe('text/plain');
    expect(evidenceName('C:\\scans\\a:b?.pdf')).toBe('a-b-.pdf');
    expect(evidenceName('..')).toBe('evidence');
    expect([...evidenceName(`${'ä'.repeat(300)}.pdf`)].length).toBeLessThanOrEqual(120);
  });
});

describe('the antenna', () => {
  const kit = (gain_dBi: number, power_dBm = 14) =>
    ({
      radio: { frequency_MHz: 868.3, bandwidth_kHz: 125, power_dBm },
      antenna: { gain_dBi, feederLoss_dB: 0 },
    }) as Kit;
  const plan = { kind: 'plan-saved' as const, ...PLAN };

  it('is held against the table of limits', async () => {
    const { state } = await testBench();
    // ERC/REC 70-03: 25 mW e.r.p. = 13.98 dBm e.r.p. = 16.13 dBm e.i.r.p.; at 14 dBm a gain of 2.13 dBi, in tenths 2.1.
    expect(antennaCheck(state, plan, 'EU', kit(2))).toMatchObject({
      mostGain_dBi: 2.1,
      withinLimits: true,
      withinGrant: null,
    });
    expect(antennaCheck(state, plan, 'EU', kit(5))).toMatchObject({
      withinLimits: false,
      said: expect.stringMatching(/2\.9 dB too much/),
    });
    // 47 CFR 15.247(b)(4), 500 kHz: 30 dBm with 6 dBi, a decibel off for each above: at 27 dBm 9 dBi.
    const us = { ...kit(6), radio: { frequency_MHz: 915, bandwidth_kHz: 500, power_dBm: 27 } } as Kit;
    expect(antennaCheck(state, plan, 'US', us)).toMatchObject({ mostGain_dBi: 9, withinLimits: true });
    expect(antennaCheck(state, plan, 'US', kit(2))).toMatchObject({ mostGain_dBi: null, withinLimits: false });
    expect(antennaCheck(state, plan, 'EU', undefined)).toMatchObject({
      gainFrom: 'taken for a dipole',
      withinLimits: null,
    });
  });

  it('is held against what its module was approved with', async () => {
    const bench = await testBench();
    const approvals = [{ region: 'EU' as const, grant: 'T-123', antenna: 'whip', gain_dBi: 3 }];
    await bench.do(() => [
      {
        stream: 'part:cell',
        content: { kind: 'part-saved', name: 'Board', is: 'radio', measured: 'piece', offers: [], approvals },
      },
    ]);
    const check = (gain: number) => antennaCheck(bench.state, plan, 'EU', kit(gain, 10));
    expect(check(3)).toMatchObject({ grant: 'T-123', permits: 'whip', permits_dBi: 3, withinGrant: true });
    expect(check(3.5)).toMatchObject({ withinGrant: false, said: expect.stringMatching(/0\.5 dB too much/) });
    expect(antennaCheck(bench.state, plan, 'US', kit(3)).grant).toBeNull();
    const { notes } = batchPapers(bench.state, 'a-07', { day, found: { kit: kit(9, 10) } as never });
    expect(notes.join()).toMatch(/Approval T-123 permits up to 3 dBi/);
  });
});
