import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PriceBreak, Rounding } from '../../../src/core/money/index.ts';
import {
  addAmounts,
  amount,
  amountText,
  cheapestPurchase,
  convertAmount,
  currencyDigits,
  feesOn,
  isCurrency,
  landedCosts,
  leastPrice,
  lineCost,
  lotCost,
  orderable,
  parseAmount,
  percentOf,
  roundDecimal,
  scaleAmount,
  spreadAmount,
  subtractAmounts,
  sumAmounts,
  withTax,
} from '../../../src/core/money/index.ts';
import { readGolden } from '../../golden.ts';

const eur = (minor: number) => amount(minor, 'EUR');

describe('amounts', () => {
  it('rounds decimals as published', () => {
    for (const row of readGolden('money-rounding.csv').rows)
      expect(roundDecimal(row['text']!, Number(row['digits']), row['rounding'] as Rounding)).toBe(row['expected']);
  });

  it('three times ten cents are thirty, and 1.005 is not the binary number below it', () => {
    expect(sumAmounts([eur(10), eur(10), eur(10)], 'EUR').minor).toBe(30);
    expect(scaleAmount(eur(100), 1.005).minor).toBe(101);
    expect(scaleAmount(eur(250), 0.01, 'half-even').minor).toBe(2);
    expect(scaleAmount(eur(-250), 0.01).minor).toBe(-3);
    expect(scaleAmount(eur(1_000_000_000), 1e-7).minor).toBe(100);
    expect(subtractAmounts(eur(1), eur(2)).minor).toBe(-1);
    expect(Object.is(subtractAmounts(eur(2), eur(2)).minor, 0)).toBe(true);
  });

  it('text and amount are inverse', () => {
    fc.assert(
      fc.property(fc.maxSafeInteger(), fc.constantFrom('EUR', 'JPY', 'KWD'), (minor, currency) => {
        const a = amount(minor, currency);
        expect(parseAmount(amountText(a), currency)).toEqual(a);
      }),
      { seed: 1, numRuns: 100 },
    );
    expect(amountText(eur(-5))).toBe('-0.05');
    // ISO 4217, from memory: yen has no smaller unit, the dinar of Kuwait a thousand.
    expect([currencyDigits('JPY'), currencyDigits('EUR'), currencyDigits('KWD')]).toEqual([0, 2, 3]);
    expect(amountText(amount(1234, 'JPY'))).toBe('1234');
  });

  it('knows the currencies in use', () => {
    // Source: ICU, as the platform has it; codes that came into use lately may be newer than it.
    const known = new Set([...Intl.supportedValuesOf('currency'), 'XCG', 'ZWG']);
    const codes = [...known].filter(isCurrency);
    expect(codes.length).toBeGreaterThan(150);
    const every = (digits: number) => codes.filter((code) => currencyDigits(code) === digits);
    for (const digits of [0, 3])
      for (const code of every(digits)) {
        const format = new Intl.NumberFormat('en', { style: 'currency', currency: code });
        // ICU shows no fils of Iraq, as few do; the standard has three places.
        if (code !== 'IQD') expect([code, format.resolvedOptions().maximumFractionDigits]).toEqual([code, digits]);
      }
    expect(['EURO', 'XQX', 'DEM', 'XAU', 'eur'].filter(isCurrency)).toEqual([]);
  });

  it('takes per cent of a sum as the decimal that was written', () => {
    // 1.1 % of 50.00 is 0.55; of 0.50 it is half a cent and rounds up. 1.1/100 in binary lies above.
    expect(percentOf(eur(5000), 1.1).minor).toBe(55);
    expect(percentOf(eur(50), 1).minor).toBe(1);
    expect(percentOf(eur(-50), 1).minor).toBe(-1);
    expect(withTax(9999, 7.7)).toBe(9999 + 770); // 769.923
    expect(feesOn(1005, { share: 0.1, fixed: 35 })).toBe(101 + 35);
  });

  it('asks the least whole price that keeps a margin after rounded fees', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1e7 }),
        fc.integer({ min: 0, max: 90 }),
        fc.constantFrom(0, 0.029, 0.05),
        fc.integer({ min: 0, max: 100 }),
        (cost, margin_pct, share, fixed) => {
          const margin = margin_pct / 100;
          const price = leastPrice(cost, margin, { share, fixed });
          // In whole numbers, so that nothing is rounded in judging.
          const keeps = (p: number) => 100 * (p - feesOn(p, { share, fixed }) - cost) >= margin_pct * p;
          expect(keeps(price)).toBe(true);
          if (price > 1) expect(keeps(price - 1)).toBe(false);
        },
      ),
      { seed: 1, numRuns: 200 },
    );
  });

  it('tells what is wrong', () => {
    expect(() => parseAmount('1,50', 'EUR')).toThrow(/with a point/);
    expect(() => parseAmount('0.005', 'EUR')).toThrow(/EUR has 2[\s\S]*1,000 pieces/);
    expect(() => parseAmount('99999999999999999', 'EUR')).toThrow(/more than can be counted/);
    expect(() => amount(1, 'eur')).toThrow(/three capital letters/);
    expect(() => addAmounts(eur(1), amount(1, 'USD'))).toThrow(/convert it at a rate/);
    expect(() => amount(0.5, 'EUR')).toThrow(RangeError);
  });

  it('changes currency once, with the places of both', () => {
    expect(convertAmount(eur(1000), 'JPY', 160.255).minor).toBe(1603); // 10.00 EUR x 160.255 = 1602.55
    expect(convertAmount(amount(1603, 'JPY'), 'EUR', 0.00625).minor).toBe(1002); // 10.01875
    expect(convertAmount(eur(1000), 'KWD', 0.3345).minor).toBe(3345);
  });

  it('parts sum to the whole, and none is off by a cent or more', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -1e9, max: 1e9 }),
        fc.array(fc.integer({ min: 0, max: 10_000 }), { minLength: 1, maxLength: 12 }),
        (minor, weights) => {
          const parts = spreadAmount(eur(minor), weights);
          expect(parts.reduce((s, p) => s + p.minor, 0)).toBe(minor);
          const whole = weights.reduce((s, w) => s + w, 0);
          parts.forEach((p, i) => {
            const share = whole === 0 ? 1 / weights.length : weights[i]! / whole;
            expect(Math.abs(p.minor - minor * share)).toBeLessThan(1 + 1e-6);
          });
        },
      ),
      { seed: 1, numRuns: 200 },
    );
    expect(spreadAmount(eur(100), [1, 1, 1]).map((p) => p.minor)).toEqual([34, 33, 33]);
    expect(spreadAmount(eur(5), [0.1, 0.2]).map((p) => p.minor)).toEqual([2, 3]);
  });
});

describe('buying', () => {
  const breaks: PriceBreak[] = [
    { from: 1, minor: 50, per: 1 },
    { from: 100, minor: 35, per: 1 },
    { from: 1000, minor: 125, per: 10 },
  ];

  it('price by quantity, exact below a cent', () => {
    expect(lineCost(breaks, 99, 'EUR')!.minor).toBe(4950);
    expect(lineCost(breaks, 100, 'EUR')!.minor).toBe(3500);
    expect(lineCost(breaks, 1001, 'EUR')!.minor).toBe(12513); // 1001 x 12.5 = 12512.5
    expect(lineCost(breaks.slice(1), 99, 'EUR')).toBeUndefined();
  });

  it('more pieces for less money', () => {
    expect(cheapestPurchase(breaks, 60, 'EUR')).toEqual({ quantity: 60, total: eur(3000) });
    expect(cheapestPurchase(breaks, 80, 'EUR')).toEqual({ quantity: 100, total: eur(3500) });
    expect(cheapestPurchase(breaks, 70, 'EUR')!.quantity).toBe(100); // the same money: thirty pieces free
    expect(orderable(61, { minimum: 100, multiple: 30 })).toBe(120);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1500 }), fc.integer({ min: 1, max: 50 }), (need, multiple) => {
        const best = cheapestPurchase(breaks, need, 'EUR', { multiple })!;
        expect(best.quantity).toBeGreaterThanOrEqual(need);
        expect(best.quantity % multiple).toBe(0);
        for (let q = orderable(need, { multiple }); q <= 1500 + multiple; q += multiple)
          if (lineCost(breaks, q, 'EUR')!.minor < best.total.minor) throw new Error(`${q} pieces cost less`);
      }),
      { seed: 1, numRuns: 30 },
    );
  });

  it('a delivery lands with all that it cost', () => {
    const lines = [
      { quantity: 60, goods: eur(30000), mass_g: 9000, duty_pct: 2.7 },
      { quantity: 200, goods: eur(10000), mass_g: 1000, duty_pct: 0 },
    ];
    const landed = landedCosts(lines, eur(5000), eur(1001));
    // Freight by mass 9 : 1; duty 2.7 % of 300.00 + 45.00 = 9.315; fees by value 3 : 1 of 10.01.
    expect(landed[0]).toMatchObject({ freight: eur(4500), duty: eur(932), fees: eur(751) });
    expect(landed[0]!.total.minor).toBe(30000 + 4500 + 932 + 751);
    expect(landed[1]!.each_minor).toBeCloseTo((10000 + 500 + 250) / 200, 12);
    expect(landedCosts(lines, eur(5000), eur(0), false)[0]!.duty.minor).toBe(810);
    const byValue = landedCosts(
      lines.map(({ mass_g: _, ...l }) => l),
      eur(4000),
      eur(0),
    );
    expect(byValue.map((l) => l.freight.minor)).toEqual([3000, 1000]);
  });

  it('withdrawals of a lot sum to what it cost', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e8 }),
        fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 20 }),
        (total, takes) => {
          const quantity = takes.reduce((s, t) => s + t, 0);
          let taken = 0;
          let cost = 0;
          for (const take of takes) {
            const { minor } = lotCost(eur(total), quantity, taken, take);
            expect(Math.abs(minor - (total * take) / quantity)).toBeLessThanOrEqual(1);
            cost += minor;
            taken += take;
          }
          expect(cost).toBe(total);
        },
      ),
      { seed: 1, numRuns: 100 },
    );
    expect(() => lotCost(eur(100), 10, 8, 3)).toThrow(RangeError);
  });
});
