import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawNames } from '../../src/report/bitmap-names.ts';
import { DOT_ROWS, dotWidth, isDrawn, setDots } from '../../src/report/bitmap-type.ts';
import { type Box, placeName } from '../../src/report/name-places.ts';

const SIDE = 400;
const spot = fc.integer({ min: 20, max: SIDE - 20 });

describe('names on a map', () => {
  it('never stand over another, over a mark or beyond the edge', () => {
    const asked = fc.array(fc.tuple(spot, spot, fc.integer({ min: 10, max: 150 })), { maxLength: 40 });
    fc.assert(
      fc.property(asked, (list) => {
        const marks = list.map(([x, y]): Box => ({ left: x - 6, right: x + 6, top: y - 6, bottom: y + 6 }));
        const taken = [...marks];
        for (const [x, y, wide] of list) placeName({ wide, tall: 14 }, x, y, SIDE, taken);
        const names = taken.slice(marks.length);
        const apart = (a: Box, b: Box) =>
          a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
        for (const [i, box] of names.entries()) {
          expect(Math.min(box.left, box.top, SIDE - box.right, SIDE - box.bottom)).toBeGreaterThanOrEqual(0);
          for (const other of [...marks, ...names.slice(0, i)]) expect(apart(box, other)).toBe(true);
        }
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  const place = (name: string, x: number, y: number) => ({ name, x, y, reached: true });
  /** Pixels of ink, and how many names are left out. */
  const drawn = (places: ReturnType<typeof place>[]) => {
    const ink = new Set<string>();
    const out = drawNames({ perch: 'Hut', places }, SIDE, (x, y, dark) =>
      dark ? ink.add(`${x},${y}`) : ink.delete(`${x},${y}`),
    );
    return { ink, out };
  };

  it('are all there where there is room; in a crowd the last are left out and counted, as are foreign letters', () => {
    const [far, near] = [place('Alp Orla', 0.2, 0.2), place('Varn', 0.7, 0.8)];
    expect(drawn([far, near]).out).toBe(0);
    const crowd = Array.from({ length: 30 }, (_, i) => place(`Farm ${i}`, 0.25, 0.75));
    const { out, ink } = drawn(crowd);
    expect(out).toBeGreaterThan(20);
    expect(out).toBeLessThan(30);
    // The first keeps its place whoever comes after.
    for (const pixel of drawn([crowd[0]!]).ink) expect(ink.has(pixel)).toBe(true);
    expect(drawn([place('Москва', 0.3, 0.3)]).out).toBe(1);
    expect(drawn([place('x'.repeat(300), 0.3, 0.3)]).out).toBe(0);
  });

  it('any names and places: nothing is painted outside the map', () => {
    const any = fc.record({
      name: fc.string({ unit: 'grapheme', maxLength: 40 }),
      x: fc.double({ min: 0.02, max: 0.98, noNaN: true }),
      y: fc.double({ min: 0.02, max: 0.98, noNaN: true }),
      reached: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(any, { maxLength: 12 }), (places) => {
        drawNames({ perch: 'Hut', places }, SIDE, (x, y) => {
          if (!(Number.isInteger(x) && Number.isInteger(y) && x >= 0 && y >= 0 && x < SIDE && y < SIDE))
            throw new Error(`painted at ${x}, ${y}`);
        });
      }),
      { seed: 1, numRuns: 40 },
    );
  });
});

describe('letters of dots', () => {
  const dotsOf = (text: string) => {
    const dots: string[] = [];
    setDots(text, 0, 0, 1, (x, y) => dots.push(`${x},${y}`));
    return dots;
  };

  it('tell all letters and figures apart, within their rows', () => {
    const letters = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789ßøØłŁ.,:;-+()/&!?#%°'];
    expect(new Set(letters.map((l) => dotsOf(l).sort().join(' '))).size).toBe(letters.length);
    for (const letter of [...letters, 'Å', 'Ç', 'ű'])
      for (const dot of dotsOf(letter)) {
        const [x, y] = dot.split(',').map(Number) as [number, number];
        expect(x >= 0 && x < 5 && y >= -DOT_ROWS.above && y < DOT_ROWS.below, `${letter} ${dot}`).toBe(true);
      }
  });

  it('bear accents: each differs from the bare letter and from the other accents', () => {
    for (const row of ['aàáâãäåăą', 'eèéêëēĕėęě', 'iìíîïī', 'oòóôõöőō', 'uùúûüůű', 'cçčćĉ', 'CÇČĆ', 'OÖÓŐ'])
      expect(new Set([...row].map((l) => dotsOf(l).sort().join(' '))).size, row).toBe([...row].length);
    expect(dotWidth('Łódź')).toBe(dotWidth('Lodz'));
    expect(['Łódź', 'Ærøskøbing', 'Zürich-Süd (2)', 'a\u0308'].every(isDrawn)).toBe(true);
    expect(['Москва', '東京', 'Ħ', 'constructor\u0336'].some(isDrawn)).toBe(false);
  });
});
