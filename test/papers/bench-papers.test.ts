import { describe, expect, it } from 'vitest';
import {
  type CertificateGate,
  cartonFacts,
  cartonPdf,
  certificatePdf,
  certificateVerdict,
  packingListPdf,
  quickStartPdf,
} from '../../src/papers/index.ts';
import { markFacts } from '../../src/papers/lithium.ts';
import { readGolden } from '../golden.ts';
import { CARD, CARTON, CERTIFICATE, PACKING } from './bench-sample.ts';
import { testFonts } from './fonts.ts';
import { hasPoppler, infoOf, textIn, type Word, wordsIn } from './tools.ts';

const setting = {
  paper: 'A4',
  fonts: testFonts(),
  created: new Date('2030-02-01T08:30:00Z'),
  version: '1.2.3',
} as const;
const pagesOf = (bytes: Uint8Array) => Number(/Pages:\s+(\d+)/.exec(infoOf(bytes))?.[1]);
const gate = (verdict: CertificateGate['verdict'], more: Partial<CertificateGate> = {}): CertificateGate => ({
  ...CERTIFICATE.gates[0]!,
  verdict,
  ...more,
});

describe('the certificate', () => {
  it.runIf(hasPoppler)('has every gate with limits, value, verdict, instrument, person and day', async () => {
    const text = textIn(await certificatePdf(CERTIFICATE, setting));
    expect(text).toContain('A07-0012-K passed 3 of 4 gates; 1 failed and was let pass by name, with a reason.');
    for (const g of CERTIFICATE.gates)
      for (const said of [g.name, g.limits, g.value, g.instrument, g.person, g.day].map((t) => t.split(' ')[0]!))
        expect(text).toContain(said);
    for (const said of [
      'L. Brenk',
      'for the workshop roof only; told to the customer',
      'divider resistor replaced',
      'A-07',
      'Failed and let pass',
    ])
      expect(text).toContain(said);
  });

  it('never hides a failure behind what passed', () => {
    const of = (...gates: CertificateGate[]) => certificateVerdict({ serial: 'X1', gates });
    expect(of(gate('passed'), gate('failed'))).toBe('X1 failed 1 of 2 gates: it must not be shipped.');
    expect(of(gate('overridden'), gate('failed'), gate('not done'))).toBe(
      'X1 failed 1 of 3 gates and has 1 open: it must not be shipped.',
    );
    expect(of(gate('passed'), gate('not done'))).toBe('X1 has 1 of 2 gates open: it must not be shipped.');
    expect(of(gate('passed'))).toBe('X1 passed its one gate.');
    expect(of(gate('passed'), gate('passed'))).toBe('X1 passed all 2 gates.');
    expect(of()).toBe('X1 has no gates recorded: this paper certifies nothing.');
  });

  it.runIf(hasPoppler)('prints a failed unit as failed, and many gates over pages with their head', async () => {
    const gates = Array.from({ length: 60 }, (_, i) =>
      gate(i === 41 ? 'failed' : 'passed', { name: `gate number ${i + 1}` }),
    );
    const bytes = await certificatePdf({ ...CERTIFICATE, gates, facts: [] }, setting);
    const text = textIn(bytes);
    expect(text).toContain('failed 1 of 60 gates: it must not be shipped.');
    for (const g of gates) expect(text).toContain(g.name);
    expect(pagesOf(bytes)).toBeGreaterThan(1);
    expect(text.match(/instrument person day/g)?.length).toBe(pagesOf(bytes));
  });

  it('takes no override without a name and a reason, and no keys', async () => {
    const made = (more: object) => certificatePdf({ ...CERTIFICATE, ...more }, setting);
    await expect(made({ gates: [gate('overridden')] })).rejects.toThrow(/let pass without a name and a reason/);
    await expect(made({ gates: [gate('overridden', { override: { person: 'A', reason: ' ' } })] })).rejects.toThrow(
      /without a name/,
    );
    await expect(made({ gates: [gate('passed', { override: { person: 'A', reason: 'b' } })] })).rejects.toThrow(
      /it is 'overridden'/,
    );
    await expect(made({ facts: [['private key', 'x']] })).rejects.toThrow(/keys belong to one unit and stay off paper/);
  });
});

describe('the carton', () => {
  it('energies, UN number and small limits are those of the rules', () => {
    const { rows, tolerance } = readGolden('papers-lithium.csv');
    expect(rows.length).toBe(4);
    for (const row of rows) {
      const packing = row.packing as 'alone';
      const found = cartonFacts({
        ...CARTON,
        nominal_V: Number(row.nominal_V),
        capacity_mAh: Number(row.capacity_mAh),
        cellsPerUnit: Number(row.cells),
        packing,
      });
      expect(Math.abs(found.cell_Wh - Number(row.cell_Wh))).toBeLessThanOrEqual(Number.parseFloat(tolerance));
      expect(Math.abs(found.battery_Wh - Number(row.battery_Wh))).toBeLessThanOrEqual(Number.parseFloat(tolerance));
      expect(found.small).toBe(row.small === 'yes');
      expect(found.unNumber).toBe(row.un);
    }
  });

  it('tells what weighs on this consignment', () => {
    const notes = (more: object) => cartonFacts({ ...CARTON, stateOfCharge: 0.3, ...more }).notes.join(' ');
    expect(notes({})).toBe('');
    expect(notes({ units: 1, packages: 2 })).toMatch(/the mark may not be needed/);
    // 49 CFR 173.185(c)(3), interpretation 17-0116: cells wired together are one battery, and two batteries go unmarked too.
    expect(notes({ units: 2, packages: 2 })).toMatch(/the mark may not be needed/);
    expect(notes({ units: 3, packages: 2 })).toBe('');
    expect(notes({ units: 1, packages: 3 })).toBe('');
    expect(notes({ stateOfCharge: 0.31 })).toMatch(/at 31 % charge: above the 30 % that air transport recommends/);
    expect(notes({ stateOfCharge: 0.31, packing: 'with equipment' })).toMatch(/above the 30 % that air transport asks/);
    expect(notes({ packing: 'alone' })).toMatch(/do not fly on passenger aircraft/);
    expect(notes({ cellsPerUnit: 9 })).toMatch(/fully regulated class 9 goods/);
    expect(() => cartonFacts({ ...CARTON, units: 0, nominal_V: Number.NaN })).toThrow(/units is 0/);
  });

  // The reference values give the term of the older form (lithium-mark: "may be used until 2026-12-31"); packing instruction 966
  // asks for 30 % from 1 January 2026 on (guides to the 67th edition of the air rules).
  it('changes with the calendar by itself', () => {
    const on = (day: string, more: object = {}) => ({ ...CARTON, ...more, day });
    const old = (day: string) => markFacts('UN3481', day).join(' ');
    expect(old('2026-12-31')).toMatch(/telephone number, may be used until 2026-12-31/);
    expect(old('2027-01-01')).toMatch(/no longer to be used: its time ended on 2026-12-31/);
    expect(old('2027-01-01')).not.toMatch(/may be used until/);
    const beside = (day: string) =>
      cartonFacts(on(day, { packing: 'with equipment', stateOfCharge: 0.3 })).notes.join(' ');
    expect(beside('2025-12-31')).toMatch(/is recommended, and a duty from 2026/);
    expect(beside('2026-01-01')).toMatch(/since 2026 by air at 30 % charge or less/);
    expect(beside('2026-12-31')).not.toMatch(/a newer one holds now/);
    expect(beside('2027-01-01')).toMatch(/edition of 2026 \(67th\); a newer one holds now/);
  });

  it.runIf(hasPoppler)('says the marks, and always to check the carrier’s rules', async () => {
    const text = textIn(await cartonPdf(CARTON, setting));
    for (const said of [
      'UN3481',
      '100 mm x 100 mm',
      '100 mm x 70 mm',
      '5 mm wide',
      '12 mm high',
      '2026-12-31',
      'Check the carrier’s current rules',
      'Excepted quantities',
      'rules as of 2026-11-25',
      '36.18 Wh',
    ])
      expect(text).toContain(said);
  });
});

const LONG = 'Überlandfunkgenossenschaft Großglocknerstraßenmeisterei Süßenbrunn-Weißenkirchen';
const RULE =
  '902 to 928 MHz, frequency hopping over 50 channels or more, 20 dB bandwidth below 250 kHz: at most 30 dBm at the connector; antenna up to 6 dBi, less power above; 0.4 s within 20 s (47 CFR 15.247(a)(1)(i), (b)(2); confirmed).';
/** Boxes of words that lie over one another, or beyond the margins of their page. */
function misplaced(words: readonly Word[], wide: number): string[] {
  const beyond = words.filter((w) => w.left < 39 || w.right > wide - 39).map((w) => w.text);
  const over = words.flatMap((a, i) =>
    words.slice(i + 1).flatMap((b) => {
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      // Boxes have the height of the type, which reaches above its letters.
      const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      return a.page === b.page && across > 0.5 && down > 4 ? [`${a.text} over ${b.text}`] : [];
    }),
  );
  return [...beyond, ...over];
}

describe.runIf(hasPoppler)('what is printed', () => {
  // 595 x 842 and 612 x 792 points (ISO 216, ANSI/ASME Y14.1); type of 7 points is the least that is read (common practice).
  it.each([['A4', 595] as const, ['letter', 612] as const])(
    'lies side by side and within %s, long names too',
    async (paper, wide) => {
      const own = { ...setting, paper };
      const card = (more: object) => quickStartPdf({ ...CARD, cellsApart: true, ...more }, own);
      const limits = Array.from({ length: 6 }, () => RULE);
      const made = [
        await card({
          kit: 'Großer Überwinterungs-Verstärker für Süßwasserseen',
          maker: LONG,
          contact: LONG,
          tilt_deg: 8,
          radio: { ...CARD.radio, region: 'US', limits },
        }),
        await card({ tilt_deg: 85, cells: { ...CARD.cells, count: 1 }, chargeStops_degC: null }),
        await certificatePdf({ ...CERTIFICATE, kit: LONG, maker: LONG }, own),
        await cartonPdf({ ...CARTON, maker: LONG, kit: LONG, packing: 'with equipment' }, own),
        await packingListPdf({ ...PACKING, maker: LONG, customer: [LONG, 'Größenwahngasse 3'] }, own),
      ];
      for (const bytes of made) {
        const words = wordsIn(bytes);
        expect(words.length).toBeGreaterThan(50);
        expect(misplaced(words, wide)).toEqual([]);
        // A box is about 1.2 times its type.
        expect(Math.min(...words.map((w) => w.bottom - w.top))).toBeGreaterThan(1.2 * 7);
      }
      expect(pagesOf(made[0]!)).toBe(1);
      expect(textIn(made[0]!)).toMatch(/more rules of US have no room here: sunperch limits tells them all/);
      expect(textIn(made[1]!)).toContain('does not stop in the cold');
    },
  );
});

describe('card and packing list', () => {
  it.runIf(hasPoppler)('the card is one page on either paper, with all that a customer needs', async () => {
    for (const [paper, cellsApart] of [
      ['A4', false],
      ['letter', true],
    ] as const) {
      const bytes = await quickStartPdf({ ...CARD, cellsApart, panelFaces: 'north' }, { ...setting, paper });
      expect(pagesOf(bytes)).toBe(1);
      const text = textIn(bytes);
      for (const said of [
        'Its parts',
        'First start',
        'Mounting',
        'Antenna upright',
        'Charging',
        'below 0 °C',
        'Lithium cells',
        'Radio limits, EU',
        '869.525 MHz',
        'overhead lines',
        'local law decides',
        'Panel to the north, tilted 60°',
        CARD.radio.limits[0]!,
      ])
        expect(text).toContain(said);
      // Wavelength at 869.5 MHz: 299.79 / 869.525 m = 34.5 cm.
      expect(text).toContain('(35 cm)');
      expect(text.includes('Put the cells in as marked')).toBe(cellsApart);
    }
    await expect(quickStartPdf({ ...CARD, tilt_deg: 91 }, setting)).rejects.toThrow(/a tilt lies between 0 and 90/);
  });

  it.runIf(hasPoppler)('the list names every serial, and counts must agree', async () => {
    const text = textIn(await packingListPdf(PACKING, setting));
    for (const said of ['6 pieces for Sennerei Tarnwick', 'Dorfplatz 1', 'P-0031', ...PACKING.lines[0]!.serials])
      expect(text).toContain(said);
    const wrong = { ...PACKING, lines: [{ what: 'Alder 3', count: 2, serials: ['A'] }] };
    await expect(packingListPdf(wrong, setting)).rejects.toThrow(/'Alder 3' says 2 and names 1 serials/);
    expect(textIn(await packingListPdf({ ...PACKING, lines: [] }, setting))).toContain('0 pieces');
  });
});
