import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numberOf } from '../../src/formats/csv-numbers.ts';
import { decodeText, neutralised, readTable, rowProblem, writeTable } from '../../src/formats/csv-table.ts';

describe('tables as CSV', () => {
  it('texts come back as they were, and none begins as a formula (OWASP, CSV injection)', () => {
    const cell = fc.oneof(fc.string(), fc.constantFrom('=cmd', '+1', '-2', '@a', '\tb', "'=x", "''", 'a;b', 'a"b'));
    fc.assert(
      fc.property(fc.array(fc.tuple(cell, cell), { minLength: 1, maxLength: 8 }), (rows) => {
        // A line end inside a cell: CR alone is not told apart from the file's own by every reader.
        const clean = rows.map((r) => ['k', ...r.map((c) => c.replace(/[\r\n]/g, ' '))]);
        const written = writeTable(['k', 'a', 'b'], clean);
        expect(readTable(written).rows).toEqual(clean);
        for (const c of clean.flat()) expect(neutralised(c)).not.toMatch(/^[=@\t]|^[+-](?!\d+(\.\d+)?$)/);
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  // Prefixes as OWASP's page on CSV injection lists them.
  it('hostile names leave as text, plain numbers as they are', () => {
    const hostile = ['=cmd|calc', '+1+cmd', '-1+1', '@SUM(A1)', '\tx', '\rx', '\nx', '＝1+1', '+49 123', "'=x", "''"];
    for (const name of hostile) expect(neutralised(name)).toBe(`'${name}`);
    for (const name of ['-2', '+3.5', '12', 'a=b']) expect(neutralised(name)).toBe(name);
    const rows = hostile.map((name) => [name, 'x']);
    const written = writeTable(['a', 'b'], [...rows, [-2.5, '-2.5']]);
    expect(written).not.toMatch(/(^|[,\n"])[=@＝]/m);
    expect(readTable(written).rows).toEqual([...rows, ['-2.5', '-2.5']]);
  });

  it('tells encodings by their bytes, and what is no text', () => {
    const text = 'key;name\nx;Mül €';
    const utf16 = (marked: boolean, big: boolean) =>
      Uint8Array.from(
        [...(marked ? '\ufeff' : ''), ...text].flatMap((c) => {
          const two = [c.charCodeAt(0) & 255, c.charCodeAt(0) >> 8];
          return big ? two.reverse() : two;
        }),
      );
    const windows = Uint8Array.from([...text].map((c) => (c === '€' ? 0x80 : c.charCodeAt(0))));
    const read = (bytes: Uint8Array) => {
      const decoded = decodeText(bytes);
      const { titles, rows } = readTable(decoded.text);
      return [decoded.encoding, titles, rows];
    };
    const table = [['key', 'name'], [['x', 'Mül €']]];
    expect(read(new TextEncoder().encode(text))).toEqual(['UTF-8', ...table]);
    expect(read(new TextEncoder().encode(`\ufeff${text}`))).toEqual(['UTF-8', ...table]);
    expect(read(windows)).toEqual(['Windows-1252', ...table]);
    for (const marked of [true, false]) {
      expect(read(utf16(marked, false))).toEqual(['UTF-16LE', ...table]);
      expect(read(utf16(marked, true))).toEqual(['UTF-16BE', ...table]);
    }
    const binary = (...start: number[]) => decodeText(Uint8Array.from([...start, 20, 0, 6, 0, 8, 0, 1, 2, 3, 4, 5, 0]));
    expect(() => binary(0x50, 0x4b, 3, 4)).toThrow(/xlsx.*CSV UTF-8/);
    expect(() => binary(0xd0, 0xcf, 0x11, 0xe0)).toThrow(/\bxls\b.*CSV UTF-8/);
    expect(() => binary(0x25, 0x50, 0x44, 0x46)).toThrow(/PDF/);
    expect(() => binary(1, 2, 3, 4, 5)).toThrow(/zero bytes/);
  });

  it.each([';', ',', '\t'])(
    'finds the separator %j, keeps line ends in quotation marks, numbers rows as the file does',
    (sep) => {
      const lines = ['key|name|', '||', '"a, b"|"two', 'lines"|', '', 'c|"say ""so"" now"|'];
      const file = readTable(lines.join('\n').replaceAll('|', sep));
      expect(file).toMatchObject({ titles: ['key', 'name', 'column 3'], separator: sep, numbers: [3, 5] });
      expect(file.rows).toEqual([
        ['a, b', 'two\nlines', ''],
        ['c', 'say "so" now', ''],
      ]);
      expect(readTable(`name${sep}name\n`).titles).toEqual(['name', 'name (2)']);
    },
  );

  it('says what is wrong with the cells of a row', () => {
    const titles = ['key', 'name'];
    const wrong = (...cells: string[]) => rowProblem(cells, titles)?.match(/has \d cells?|once more/)?.[0];
    expect([wrong('a', 'b', 'c'), wrong('a'), wrong('key', 'name')]).toEqual([
      'has 3 cells',
      'has 1 cell',
      'once more',
    ]);
    expect([wrong('a', 'b'), wrong('a', ''), wrong('a', 'b', '', '')]).toEqual([undefined, undefined, undefined]);
    expect(() => readTable('key,name\n"a,b\n')).toThrow(/quotation mark/);
    expect(() => readTable('\n;\n')).toThrow(/empty/);
  });

  // Decimal comma and thousands as offices write them: common practice, no source.
  it('reads numbers that can be read in one way only', () => {
    const style = (decimal: 'comma' | 'point' | 'unknown', separator = ';') => ({ decimal, separator });
    for (const [cell, value] of [
      ['12,5', 12.5],
      ['-3', -3],
      ['+0.25', 0.25],
      ['1.234,5', 1234.5],
      ['1,234.5', 1234.5],
      ['1 234,5', 1234.5],
      ["1'234'567.5", 1_234_567.5],
      ['1,234,567', 1_234_567],
      ['1.234.567', 1_234_567],
      ['0,125', 0.125],
      ['1.234', 1.234],
      ['x', undefined],
      ['12,', undefined],
      ['1,23,4', undefined],
      ['', undefined],
    ] as const)
      expect([cell, numberOf(cell)]).toEqual([cell, value]);
    expect(numberOf('1,234', style('comma', ','))).toBe(1.234);
    expect(numberOf('1,234', style('unknown', ';'))).toBe(1.234);
    expect(() => numberOf('1,234', style('unknown', ','))).toThrow('"1,234" can be 1.234 or 1234');
    expect(() => numberOf('1,234', style('point'))).toThrow('1.234 or 1234');
    expect(() => numberOf('1.234', style('comma'))).toThrow('1.234 or 1234');
    expect(readTable('a,b\n"1,5","1,234"\n').style).toEqual(style('comma', ','));
    expect(readTable('a,b\n1.5,"1,234"\n').style).toEqual(style('point', ','));
    expect(readTable('a,b\n1.5,"1,5"\n').style).toEqual(style('unknown', ','));
  });
});
