import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bestMatch,
  checkSweep,
  compareSweeps,
  gammaAt,
  gammaAtFrequency,
  gammaOfVswr,
  LINEAR_CIRCULAR_dB,
  markerAt,
  mismatchLoss_dB,
  mismatchUncertainty_dB,
  overBand,
  polarizationLoss_dB,
  renormalise,
  returnLoss_dB,
  robustScores,
  type Sweep,
  stickBeamwidth_deg,
  stickGain_dBi,
  usableBand,
  usableBands,
  vswr,
} from '../../../src/core/antenna/index.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { readGolden } from '../../golden.ts';

/** |S11| against frequency with a phase that does not matter here. */
function sweepOf(points: readonly (readonly [number, number])[]): Sweep {
  return {
    frequency_MHz: Float64Array.from(points, ([f]) => f),
    re: Float64Array.from(points, ([, gamma]) => gamma),
    im: new Float64Array(points.length),
    reference_Ohm: 50,
  };
}

/** A series resonance of quality `q` at `at_MHz` with a resistance: an antenna near its band. */
function resonance(at_MHz: number, resistance_Ohm = 40, q = 12): Sweep {
  const frequency_MHz = Float64Array.from({ length: 101 }, (_, i) => 820 + i);
  const re = new Float64Array(101);
  const im = new Float64Array(101);
  frequency_MHz.forEach((f, i) => {
    const x = resistance_Ohm * q * (f / at_MHz - at_MHz / f);
    const low = (resistance_Ohm + 50) ** 2 + x * x;
    re[i] = (resistance_Ohm ** 2 - 2500 + x * x) / low;
    im[i] = (100 * x) / low;
  });
  return { frequency_MHz, re, im, reference_Ohm: 50 };
}

describe('match', () => {
  it.each(readGolden('antenna-match.csv').rows)('standing-wave ratio $vswr', (row) => {
    const ratio = Number(row['vswr']);
    const gamma = gammaOfVswr(ratio);
    expect(Math.abs(gamma - Number(row['gamma']))).toBeLessThan(0.0005);
    expect(Math.abs(vswr(gamma) - ratio)).toBeLessThan(0.0005);
    expect(Math.abs(mismatchLoss_dB(gamma) - Number(row['mismatchLoss_dB']))).toBeLessThan(0.0005);
    if (row['returnLoss_dB'] === '') expect(returnLoss_dB(gamma)).toBe(Number.POSITIVE_INFINITY);
    else expect(Math.abs(returnLoss_dB(gamma) - Number(row['returnLoss_dB']))).toBeLessThan(0.0005);
  });

  it('ends at total reflection', () => {
    expect(vswr(1)).toBe(Number.POSITIVE_INFINITY);
    expect(vswr(1.02)).toBe(Number.POSITIVE_INFINITY);
    expect(mismatchLoss_dB(1)).toBe(Number.POSITIVE_INFINITY);
    expect(gammaOfVswr(Number.POSITIVE_INFINITY)).toBe(1);
    // Two ends of ratio 2 (1/3 each): 20 log(1 ± 1/9), by hand.
    expect(mismatchUncertainty_dB(1 / 3, 1 / 3).best_dB).toBeCloseTo(-0.915, 3);
    expect(mismatchUncertainty_dB(1 / 3, 1 / 3).worst_dB).toBeCloseTo(1.023, 3);
  });

  it('loses by polarization as cos² of the angle', () => {
    // Shared reference folder: 0, 30, 45, 60, 80 degrees; linear to circular 3.0103 dB.
    for (const [angle, loss] of [
      [0, 0],
      [30, 1.2494],
      [45, 3.0103],
      [60, 6.0206],
      [80, 15.2066],
    ] as const)
      expect(Math.abs(polarizationLoss_dB(angle) - loss)).toBeLessThan(0.0005);
    expect(polarizationLoss_dB(90)).toBe(20);
    expect(Math.abs(LINEAR_CIRCULAR_dB - 3.0103)).toBeLessThan(0.0005);
  });
});

describe('sweep', () => {
  const sweep = sweepOf([
    [860, 0.5],
    [865, 0.3],
    [870, 0.1],
    [875, 0.3],
    [880, 0.5],
    [890, 0.2],
  ]);

  it('finds the best match, the bands and the markers', () => {
    expect(bestMatch(sweep)).toEqual({ frequency_MHz: 870, vswr: vswr(0.1) });
    // A ratio of 2 is |S11| = 1/3: the points at 865-875 and at 890 keep it.
    expect(usableBands(sweep, 2)).toEqual([
      { from_MHz: 865, to_MHz: 875, limitVswr: 2 },
      { from_MHz: 890, to_MHz: 890, limitVswr: 2 },
    ]);
    expect(usableBand(sweep, 2)).toEqual({ from_MHz: 865, to_MHz: 875, limitVswr: 2 });
    expect(usableBand(sweep, 1.1)).toBeUndefined();
    expect(markerAt(sweep, 867.5).vswr).toBeCloseTo((vswr(0.3) + vswr(0.1)) / 2, 12);
    expect(markerAt(sweep, 890).vswr).toBeCloseTo(vswr(0.2), 12);
    expect(() => markerAt(sweep, 891)).toThrow(/runs from 860 to 890 MHz/);
    expect(() => usableBands(sweep, 1)).toThrow(UserError);
    expect(gammaAtFrequency(sweep, 859.99)).toBeNaN();
  });

  it('sums up a band that an antenna must serve', () => {
    const band = overBand(sweep, 862.5, 880);
    expect(band.worstVswr).toBeCloseTo(vswr(0.5), 12);
    expect(band.worstAt_MHz).toBe(880);
    const flat = overBand(
      sweepOf([
        [860, 0.2],
        [900, 0.2],
      ]),
      863,
      870,
    );
    expect(flat.meanMismatchLoss_dB).toBeCloseTo(mismatchLoss_dB(0.2), 12);
    expect(() => overBand(sweep, 863, 900)).toThrow(/does not cover the band/);
    expect(() => overBand(sweep, 870, 863)).toThrow(/end lies above its start/);
  });

  it('keeps its impedance when seen from another line', () => {
    // 75 Ω seen from 75 Ω is a perfect match; from 50 Ω it has a ratio of 1.5 (by definition 75/50).
    const load = { ...sweepOf([[868, 0.2]]), reference_Ohm: 50 }; // (75-50)/(75+50) = 0.2
    expect(gammaAt(renormalise(load, 75), 0)).toBeCloseTo(0, 12);
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 0.999, noNaN: true }),
        fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
        fc.double({ min: 1, max: 500, noNaN: true }),
        (gamma, angle, reference_Ohm) => {
          const one = { ...sweepOf([[868, gamma * Math.cos(angle)]]), im: Float64Array.of(gamma * Math.sin(angle)) };
          const back = renormalise(renormalise(one, reference_Ohm), 50);
          expect(back.re[0]).toBeCloseTo(one.re[0]!, 6);
          expect(back.im[0]).toBeCloseTo(one.im[0]!, 6);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
    expect(gammaAt(renormalise(sweepOf([[868, 1]]), 75), 0)).toBeCloseTo(1, 12);
  });

  it('is checked when built by hand', () => {
    checkSweep(sweep);
    expect(() => checkSweep(sweepOf([]))).toThrow(/no points/);
    expect(() => checkSweep({ ...sweep, re: new Float64Array(2) })).toThrow(/2 real/);
    expect(() =>
      checkSweep(
        sweepOf([
          [2, 0],
          [1, 0],
        ]),
      ),
    ).toThrow(/must rise/);
    expect(() => checkSweep(sweepOf([[1, Number.NaN]]))).toThrow(/no number/);
    expect(() => checkSweep({ ...sweep, reference_Ohm: 0 })).toThrow(/reference resistance is 0/);
  });
});

describe('a batch of antennas', () => {
  it('finds the one that is tuned elsewhere, and the worst', () => {
    const batch = [868, 869, 867.5, 868.5, 868, 867, 884].map((f) => resonance(f));
    const found = compareSweeps(batch, 863, 870);
    expect(found.outliers).toEqual([6]);
    expect(found.worst).toBe(6);
    expect(found.spread[0]!.frequency_MHz).toBe(863);
    expect(found.spread[found.spread.length - 1]!.frequency_MHz).toBe(870);
    for (const point of found.spread) {
      expect(point.lowVswr).toBeLessThanOrEqual(point.medianVswr);
      expect(point.medianVswr).toBeLessThanOrEqual(point.highVswr);
    }
  });

  it('calls no one an outlier where all are alike or too few', () => {
    expect(compareSweeps(Array(6).fill(resonance(868)), 863, 870).outliers).toEqual([]);
    const two = compareSweeps([resonance(868), resonance(900)], 863, 870);
    expect(two.outliers).toEqual([]);
    expect(two.sweeps[0]!.lossScore).toBeUndefined();
    expect(() => compareSweeps([], 863, 870)).toThrow(/no sweep/);
    expect(() => compareSweeps([resonance(868)], 863, 930)).toThrow(/does not cover/);
  });

  it('scores as Iglewicz and Hoaglin do', () => {
    // Values 2.1 2.6 2.4 2.5 2.3 2.1 2.3 2.6 8.2 8.3, median 2.45, MAD 0.15, worked by hand; the factor 0.6745 is theirs.
    const scores = robustScores([2.1, 2.6, 2.4, 2.5, 2.3, 2.1, 2.3, 2.6, 8.2, 8.3], 0)!;
    expect(scores[8]).toBeCloseTo((0.6745 * 5.75) / 0.15, 2);
    expect(scores[9]).toBeCloseTo((0.6745 * 5.85) / 0.15, 2);
  });
});

describe('pattern of a stick', () => {
  it('has half of its power at half of its width', () => {
    // 12·(1/2)² = 3 dB by the form of the lobe; 107.6 degrees at 0 dBi (ITU-R F.1336, from memory).
    expect(stickBeamwidth_deg(0)).toBeCloseTo(107.6, 12);
    expect(stickGain_dBi(5, 0)).toBe(5);
    expect(stickGain_dBi(5, stickBeamwidth_deg(5) / 2)).toBeCloseTo(2, 12);
    expect(stickGain_dBi(5, -90)).toBe(-10);
  });
});
