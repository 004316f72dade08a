import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FIGURES, wherePosition } from '../../src/report/index.ts';
import { figuresFor } from '../../src/web/display/figures.ts';
import { moved, without } from '../../src/web/forms/list-acts.tsx';
import { findNames, inOrder } from '../../src/web/parts/find-names.ts';

const named = (name: string, saved = '2026-01-01T00:00:00Z') => ({ id: name, name, saved });
const names = (list: readonly { readonly name: string }[]) => list.map((r) => r.name);

describe('finding in a list', () => {
  const list = [named('Hut 10', '2026-03-01'), named('hut 2', '2026-01-01'), named('Alp Hut', '2026-02-01')];
  it('finds every word, in any order and size', () => {
    expect(names(findNames(list, ' HUT alp '))).toEqual(['Alp Hut']);
    expect(findNames(list, '  ')).toBe(list);
    expect(findNames(list, 'hut moor')).toEqual([]);
  });
  it('sorts numbers in names by their size, or the last saved first', () => {
    expect(names(inOrder(list, 'name', 'en-GB'))).toEqual(['Alp Hut', 'hut 2', 'Hut 10']);
    expect(names(inOrder(list, 'saved', 'en-GB'))).toEqual(['Hut 10', 'Alp Hut', 'hut 2']);
    expect(names(list)).toEqual(['Hut 10', 'hut 2', 'Alp Hut']);
  });
});

describe('moving and taking away', () => {
  it('a move is undone by the move back, and neither loses an entry', () => {
    fc.assert(
      fc.property(fc.array(fc.integer(), { minLength: 1, maxLength: 9 }), fc.nat(8), fc.nat(8), (list, a, b) => {
        const [from, to] = [a % list.length, b % list.length];
        const there = moved(list, from, to);
        expect(there[to]).toBe(list[from]);
        expect(moved(there, to, from)).toEqual(list);
        expect([...without(list, from), list[from]].sort()).toEqual([...list].sort());
      }),
      { seed: 1, numRuns: 100 },
    );
  });
});

describe('figures in pictures', () => {
  const SI = { length: 'metric', temperature: 'degC' } as const;
  // source: Unicode CLDR number and date patterns of de-CH, de-DE, en-GB and en-US, as Node's ICU has them
  it('writes numbers and days as the country does', () => {
    const [swiss, german, american] = ['de-CH', 'de-DE', 'en-US'].map((l) => figuresFor(l, SI));
    expect(swiss!.number(12345.678, 1)).toMatch(/^12['’]345\.7$/);
    expect(german!.number(12345.678, 1)).toBe('12.345,7');
    expect(german!.percent(0.1234, 1)).toBe('12,3 %');
    expect(american!.day(354)).toBe('Dec 21');
    expect(german!.day(354)).toBe('21 Dec');
  });
  it('is ours, figure for figure, in British English', () => {
    const british = figuresFor('en-GB', SI);
    const number = fc.oneof(
      fc.double({ min: 0, max: 1e6, noNaN: true }),
      fc.constantFrom(0, 0.0001, 9.995, 99.96, NaN),
    );
    fc.assert(
      fc.property(number, fc.nat(3), fc.nat(364), (v, decimals, day) => {
        expect(british.figures(v)).toBe(FIGURES.figures(v));
        expect(british.number(v, decimals)).toBe(FIGURES.number(v, decimals));
        expect(british.day(day)).toBe(FIGURES.day(day));
      }),
      { seed: 1, numRuns: 200 },
    );
  });
  it('measures feet and miles', () => {
    // source: International yard and pound agreement 1959: 1 ft = 0.3048 m, 1 mile = 5,280 ft
    const { height, distance } = figuresFor('en-US', { length: 'imperial', temperature: 'degF' });
    expect(height.shown(0.3048 * 5280)).toBeCloseTo(5280, 9);
    expect(distance.shown(1.609344)).toBeCloseTo(1, 12);
    expect([height.symbol, distance.symbol]).toEqual(['ft', 'mi']);
  });
});

it('a place of the map stands at its longitude and latitude', () => {
  // The map spans 58° S to 80° N and all longitudes.
  expect(wherePosition({ latitude_deg: 11, longitude_deg: 0 })).toEqual({ x: 0.5, y: 0.5 });
  expect(wherePosition({ latitude_deg: 80, longitude_deg: 190 }).x).toBeCloseTo(10 / 360, 12);
});
