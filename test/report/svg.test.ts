import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { monthSpans } from '../../src/report/axis.ts';
import { linearScale, logScale, niceTicks, spreadLabels } from '../../src/report/scale.ts';
import { bandPath, coordinate, element, escapeText, label, linePath, safeId } from '../../src/report/svg.ts';
import { dayName, formatFigures, formatHours, formatNumber, formatPosition, percent } from '../../src/report/words.ts';
import { parseXml } from './xml.ts';

const MONTHS = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];

describe('svg', () => {
  it('escapes what XML 1.0 (sections 2.2 and 2.4) reserves or forbids', () => {
    expect(escapeText(`<script>"a" & 'b'</script>`)).toBe(
      '&lt;script&gt;&quot;a&quot; &amp; &#39;b&#39;&lt;/script&gt;',
    );
    expect(escapeText('a\u0000b\u001bc\ud800d\ufffee')).toBe('abcde');
    expect(escapeText('Höhe ☀ 😀\n')).toBe('Höhe ☀ 😀\n');
  });

  it('any text comes out as one well-formed element with the same text in it', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.string({ unit: 'binary' }), (text, attribute) => {
        const e = parseXml(element('g', { 'data-x': attribute }, [label(1, 2, text), '<a/>']));
        expect(e.children.length).toBe(2);
        expect(e.children[0]!.children).toEqual([]);
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  it('the checker used here refuses what is not well-formed', () => {
    for (const bad of [
      '<a><b></a></b>',
      '<a x=1/>',
      '<a x="1" x="2"/>',
      '<a>&</a>',
      '<a/><b/>',
      '<a x="<"/>',
      '<a',
      '<a>\u0001</a>',
    ])
      expect(() => parseXml(bad), bad).toThrow();
  });

  it('refuses coordinates that are not finite, and leaves no minus before zero', () => {
    expect(coordinate(-0.001)).toBe('0');
    expect(coordinate(1 / 3)).toBe('0.33');
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => element('g', { x: bad })).toThrow(RangeError);
  });

  it('paths break where a point is missing', () => {
    expect(
      linePath([
        [0, 0],
        [1, Number.NaN],
        [2, 2],
        [3, 3],
      ]),
    ).toBe('M0 0M2 2L3 3');
    expect(bandPath([0, 1, 2, 3], [0, 1, Number.NaN, 3], [5, 5, 5, 5])).toBe('M0 0L1 1L1 5L0 5Z');
    expect(bandPath([], [], [])).toBe('');
  });

  it('ids hold only characters that need no quoting', () => {
    expect(safeId('a b"<c>')).toBe('a-b--c-');
    expect(safeId('3x')).toBe('p-3x');
  });
});

describe('scales', () => {
  it('map ends to ends, and a domain without width to the middle', () => {
    const x = linearScale([10, 20], [0, 100]);
    expect([x(10), x(15), x(20)]).toEqual([0, 50, 100]);
    expect(linearScale([5, 5], [0, 100])(5)).toBe(50);
    expect(logScale([1, 100], [0, 2])(10)).toBeCloseTo(1, 12);
    expect(() => logScale([0, 1], [0, 1])).toThrow(RangeError);
  });

  it('ticks are 1, 2 or 5 times a power of ten and cover the span', () => {
    expect(niceTicks(0, 11.4, 5)).toEqual([0, 2, 4, 6, 8, 10, 12]);
    expect(niceTicks(0, 0.3, 3)).toEqual([0, 0.1, 0.2, 0.3]);
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
        (low, span) => {
          const ticks = niceTicks(low, low + span);
          expect(ticks[0]!).toBeLessThanOrEqual(low + span * 1e-6);
          expect(ticks[ticks.length - 1]!).toBeGreaterThanOrEqual(low + span * (1 - 1e-6));
          expect(ticks.length).toBeLessThan(14);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
    expect(niceTicks(Number.NaN, 1)).toEqual([0]);
  });

  it('labels are moved apart, kept inside, and keep their order', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 100, noNaN: true }), { minLength: 1, maxLength: 6 }), (wanted) => {
        const placed = spreadLabels(wanted, 10, 0, 100);
        const sorted = [...placed].sort((a, b) => a - b);
        sorted.forEach((v, i) => {
          expect(v).toBeGreaterThanOrEqual(-1e-9);
          expect(v).toBeLessThanOrEqual(100 + 1e-9);
          if (i > 0) expect(v - sorted[i - 1]!).toBeGreaterThanOrEqual(10 - 1e-9);
        });
        wanted.forEach((a, i) => {
          wanted.forEach((b, j) => {
            if (a < b) expect(placed[i]!).toBeLessThan(placed[j]!);
          });
        });
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it('a year cut anywhere still has 365 days of twelve months', () => {
    for (let start = 0; start < 365; start++) {
      const spans = monthSpans(start);
      expect(spans[0]!.from).toBe(0);
      expect(spans[spans.length - 1]!.to).toBe(365);
      expect(new Set(spans.map((s) => s.month)).size).toBe(12);
      for (let i = 1; i < spans.length; i++) expect(spans[i]!.from).toBe(spans[i - 1]!.to);
    }
    expect(() => monthSpans(365)).toThrow(RangeError);
  });
});

describe('words', () => {
  it('numbers have a comma between thousands, a true minus and a dash for what is missing', () => {
    expect(formatNumber(3350)).toBe('3,350');
    expect(formatNumber(1234567.891, 2)).toBe('1,234,567.89');
    expect(formatNumber(-0.4)).toBe('0');
    expect(formatNumber(-1234.5, 1)).toBe('−1,234.5');
    expect(formatNumber(Number.NaN)).toBe('–');
    expect([1.4, 64.62, 0, 0.2, 0.0001, 2319.5].map(formatFigures)).toEqual([
      '1.4',
      '64.6',
      '0',
      '0.2',
      '<0.001',
      '2,320',
    ]);
  });

  it('rare is not told as never, nor nearly always as always', () => {
    expect([0, 0.0001, 0.05, 0.9999, 1].map((v) => percent(v))).toEqual(['0 %', '<1 %', '5 %', '>99 %', '100 %']);
    expect(percent(0.0001, 1)).toBe('<0.1 %');
    expect(percent(Number.NaN)).toBe('–');
  });

  it('days, hours and places', () => {
    expect([0, 31, 364, 365, -1].map((d) => dayName(d, MONTHS))).toEqual([
      '1 Jan',
      '1 Feb',
      '31 Dec',
      '1 Jan',
      '31 Dec',
    ]);
    expect([3, 2.5, 71, 120, 291].map(formatHours)).toEqual(['3 h', '2.5 h', '71 h', '5.0 days', '12 days']);
    expect(formatPosition({ latitude_deg: -44.3, longitude_deg: 170.1 }, 1)).toBe('44.3° S 170.1° E');
  });
});
