import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { UserError } from '../../src/core/units/index.ts';
import { bars, checkSymbol, code128 } from '../../src/papers/code128.ts';
import { codeText, type LabelSheet, labelsPdf, placeLabels } from '../../src/papers/index.ts';
import { darkRuns, qrCode } from '../../src/papers/qr.ts';
import type { Label, LabelLayout } from '../../src/papers/types.ts';
import { readGolden } from '../golden.ts';
import { testFonts } from './fonts.ts';
import { codesIn, hasDecoder, hasPoppler, infoOf, textIn } from './tools.ts';

const setting = {
  paper: 'A4',
  fonts: testFonts(),
  created: new Date('2030-02-01T08:30:00Z'),
  version: '1.2.3',
} as const;
/** An invented grid: 3 x 8 labels of 63.5 x 33.9 mm. */
const SHEET: LabelSheet = {
  kind: 'sheet',
  paper: 'A4',
  rows: 8,
  columns: 3,
  labelWidth_mm: 63.5,
  labelHeight_mm: 33.9,
  marginLeft_mm: 7.2,
  marginTop_mm: 12.9,
  gapX_mm: 2.5,
  gapY_mm: 0,
  corner_mm: 2,
};
const CAUTION = 'Lithium-ion cells inside: do not open, crush or heat above 60 °C. Local law decides on radio use.';
const label = (i: number): Label => {
  const serial = `A07-${String(i).padStart(4, '0')}-K`;
  return {
    code: codeText('https://example.org/u/{serial}', serial),
    serial,
    lines: ['Alder 3', 'rev. C · EU868'],
    caution: CAUTION,
  };
};
const many = (count: number) => Array.from({ length: count }, (_, i) => label(i + 1));
const problemsOf = (act: () => unknown) => {
  try {
    act();
  } catch (error) {
    return (error as UserError).problems.map((p) => p.message);
  }
  return [];
};

describe('codes', () => {
  it('a QR code is the smallest that holds its text', () => {
    const { rows } = readGolden('papers-qr-capacity.csv');
    expect(rows.length).toBe(28);
    for (const row of rows)
      for (const [mode, letter] of [
        ['numeric', '7'],
        ['alphanumeric', 'A'],
        ['byte', 'a'],
      ] as const) {
        const version = Number(row.version);
        const most = Number(row[mode]);
        const code = qrCode(letter.repeat(most), row.level as 'L');
        expect([row.version, row.level, mode, code.version]).toEqual([row.version, row.level, mode, version]);
        // ISO/IEC 18004: 17 + 4 x version modules along a side.
        expect(code.side).toBe(17 + 4 * version);
        if (version < 40) expect(qrCode(letter.repeat(most + 1), row.level as 'L').version).toBe(version + 1);
        else expect(() => qrCode(letter.repeat(most + 1), row.level as 'L')).toThrow(/more than any code holds/);
      }
  });

  it('dark stretches cover exactly the dark modules', () => {
    const code = qrCode('https://example.org/u/A07-0001-K', 'M');
    const again = new Uint8Array(code.modules.length);
    for (const [column, row, length] of darkRuns(code))
      again.fill(1, row * code.side + column, row * code.side + column + length);
    expect(again).toEqual(code.modules);
  });

  it('the check symbol of Code 128 is that of the published examples', () => {
    for (const row of readGolden('papers-code128.csv').rows)
      expect(checkSymbol(Number(row.start), row.values!.split(' ').map(Number))).toBe(Number(row.check));
  });

  it('any printable text becomes bars: eleven modules a symbol, thirteen the stop, and its own check', () => {
    fc.assert(
      fc.property(
        fc.string({
          unit: fc.integer({ min: 32, max: 126 }).map((c) => String.fromCharCode(c)),
          minLength: 1,
          maxLength: 40,
        }),
        (text) => {
          const values = code128(text);
          expect(bars(values).modules).toBe(11 * values.length + 2);
          expect(values.at(-2)).toBe(checkSymbol(values[0]!, values.slice(1, -2)));
          expect(readBack(values)).toBe(text);
        },
      ),
      { seed: 1, numRuns: 200 },
    );
    expect(() => code128('Kieß')).toThrow(/'ß' cannot stand in a bar code/);
  });

  it('the maker’s pattern gives each unit its own text', () => {
    expect(codeText('https://example.org/u/{serial}?s={serial}', 'A 1/ß')).toBe(
      'https://example.org/u/A%201%2F%C3%9F?s=A%201%2F%C3%9F',
    );
    expect(codeText('{serial}', 'A 1$&')).toBe('A 1$&');
    expect(() => codeText('https://example.org/', 'A1')).toThrow(/every label would carry the same code/);
  });
});

/** Text of symbol values, by the meaning of the sets alone. */
function readBack(values: readonly number[]): string {
  let set = values[0] === 105 ? 'C' : 'B';
  let text = '';
  for (const value of values.slice(1, -2)) {
    if (set === 'B' && value === 99) set = 'C';
    else if (set === 'C' && value === 100) set = 'B';
    else text += set === 'C' ? String(value).padStart(2, '0') : String.fromCharCode(value + 32);
  }
  return text;
}

describe('the grid', () => {
  it('runs row by row from the place that is named, over as many sheets as it takes', () => {
    const places = placeLabels(SHEET, 30, 23);
    expect(places.slice(0, 3)).toEqual([
      { page: 0, x_mm: 7.2 + 66, y_mm: 12.9 + 7 * 33.9 },
      { page: 0, x_mm: 7.2 + 132, y_mm: 12.9 + 7 * 33.9 },
      { page: 1, x_mm: 7.2, y_mm: 12.9 },
    ]);
    expect(places.at(-1)!.page).toBe(2);
  });

  it('no two labels meet and none leaves the paper, whatever fits', () => {
    const mm = (max: number) => fc.integer({ min: 0, max: max * 10 }).map((v) => v / 10);
    fc.assert(
      fc.property(
        fc.record({
          rows: fc.integer({ min: 1, max: 12 }),
          columns: fc.integer({ min: 1, max: 6 }),
          w: mm(120),
          h: mm(120),
          left: mm(30),
          top: mm(30),
          gx: mm(6),
          gy: mm(6),
        }),
        ({ rows, columns, w, h, left, top, gx, gy }) => {
          const layout: LabelSheet = {
            ...SHEET,
            rows,
            columns,
            labelWidth_mm: w,
            labelHeight_mm: h,
            marginLeft_mm: left,
            marginTop_mm: top,
            gapX_mm: gx,
            gapY_mm: gy,
            corner_mm: 0,
          };
          const fits =
            w >= 8 &&
            h >= 8 &&
            left + columns * w + (columns - 1) * gx <= 210.1 &&
            top + rows * h + (rows - 1) * gy <= 297.1;
          expect(problemsOf(() => placeLabels(layout, rows * columns)).length === 0).toBe(fits);
          if (!fits) return;
          const places = placeLabels(layout, rows * columns);
          places.forEach((a, i) => {
            expect(a.x_mm + w).toBeLessThanOrEqual(210.11);
            expect(a.y_mm + h).toBeLessThanOrEqual(297.11);
            for (const b of places.slice(i + 1))
              expect(Math.abs(a.x_mm - b.x_mm) >= w - 1e-9 || Math.abs(a.y_mm - b.y_mm) >= h - 1e-9).toBe(true);
          });
        },
      ),
      { seed: 1, numRuns: 150 },
    );
  });

  it('says what does not fit and what would', () => {
    expect(problemsOf(() => placeLabels({ ...SHEET, columns: 4 }, 1))).toEqual([
      '4 columns of 63.5 mm with gaps of 2.5 mm after a margin of 7.2 mm need 268.7 mm, and A4 is 210 mm wide: take 3 columns, or check the sizes on the packet of labels',
    ]);
    expect(problemsOf(() => placeLabels({ ...SHEET, paper: 'letter' }, 1))).toEqual([
      '8 rows of 33.9 mm with gaps of 0 mm after a margin of 12.9 mm need 284.1 mm, and Letter is 279.4 mm high: take 7 rows, or check the sizes on the packet of labels',
    ]);
    expect(problemsOf(() => placeLabels({ ...SHEET, rows: 0, gapX_mm: -1, labelWidth_mm: 3 }, 1)).length).toBe(4);
    expect(problemsOf(() => placeLabels(SHEET, 1, 25))).toEqual(['startAt is 25: the sheet has the places 1 to 24']);
  });
});

describe('labels', () => {
  it.runIf(hasDecoder)('a general decoder reads every code back, and the text is there for people', async () => {
    const labels = many(30);
    const sheets = await labelsPdf(labels, { layout: SHEET, level: 'M', startAt: 5, outline: true }, setting);
    expect(sheets.pages).toBe(2);
    expect(sheets.notes).toEqual([]);
    expect(sheets.module_mm).toBeGreaterThanOrEqual(0.33);
    expect(codesIn(sheets.bytes).sort()).toEqual(labels.map((l) => l.code).sort());
    const text = textIn(sheets.bytes);
    for (const { serial } of labels) expect(text).toContain(serial);
    expect(text.match(/do not open/g)?.length).toBe(30);
  });

  it.runIf(hasDecoder)('each level and umlauts too; bars beside the code; one page a label on a roll', async () => {
    const layout: LabelLayout = { kind: 'roll', labelWidth_mm: 70, labelHeight_mm: 40, corner_mm: 1 };
    const serial = '24A0071235-5';
    for (const [level, code] of [
      ['L', 'Gerät Nr. 7, Hütte Łąka'],
      ['M', 'HTTPS://EXAMPLE.ORG/7'],
      ['Q', '123456789012'],
      ['H', 'a~!"$&/()=?'],
    ] as const) {
      const one = { code, serial, lines: ['Älder 3'], caution: CAUTION };
      const { bytes, pages } = await labelsPdf([one, one], { layout, level, barcode: true }, setting);
      expect(pages).toBe(2);
      // 70 mm x 40 mm.
      expect(infoOf(bytes)).toMatch(/Page size:\s+198\.425 x 113\.386 pts/);
      expect(codesIn(bytes, 300).sort()).toEqual([code, code, serial, serial].sort());
    }
  });

  it('tells modules too narrow for scanners, and a label too small for its words', async () => {
    const layout: LabelLayout = { kind: 'roll', labelWidth_mm: 40, labelHeight_mm: 15, corner_mm: 0 };
    const long = { ...label(1), code: `https://example.org/units/${'x'.repeat(80)}`, lines: [], caution: '' };
    const { notes, module_mm } = await labelsPdf([long, long], { layout, level: 'Q' }, setting);
    expect(module_mm).toBeLessThan(0.33);
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatch(
      /^The code's modules are 0\.\d\d mm wide, .* want 0\.33 mm or more: a shorter text than its 106 characters/,
    );
    await expect(labelsPdf([label(1)], { layout, level: 'L' }, setting)).rejects.toThrow(
      /40 x 15 mm has no room for the serial A07-0001-K/,
    );
  });

  it.runIf(hasPoppler)('an upright label and Letter sheets', async () => {
    const layout: LabelLayout = {
      ...SHEET,
      paper: 'letter',
      rows: 4,
      columns: 5,
      labelWidth_mm: 38,
      labelHeight_mm: 60,
      gapY_mm: 2,
      marginTop_mm: 15,
    };
    const { bytes, pages } = await labelsPdf(many(21), { layout, level: 'M' }, setting);
    expect(pages).toBe(2);
    expect(infoOf(bytes)).toMatch(/612 x 792 pts \(letter\)/);
  });
});
