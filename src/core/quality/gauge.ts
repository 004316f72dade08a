import { chiSquareQuantile, fShareAbove } from '../math/index.ts';
import { chartFactors } from './chart-factors.ts';
import { compensatedSum } from './descriptive.ts';

/**
 * Every part measured by every person (or jig) equally often: value of part p, person o, trial t at (p·persons +
 * o)·trials + t.
 */
export interface GaugeStudy {
  readonly parts: number;
  readonly persons: number;
  readonly trials: number;
  readonly values: Float64Array;
}

/** Spread by its source, as standard deviations. */
export interface GaugeResult {
  /** Same person, same part: the equipment. */
  readonly repeatability: number;
  /** Between persons, with how they differ from part to part. */
  readonly reproducibility: number;
  readonly gauge: number;
  readonly part: number;
  readonly total: number;
  /** The gauge's share of the whole spread, %. Under 10 good, above 30 not usable (AIAG; common practice). */
  readonly study_pct: number;
  /**
   * Classes of parts that the gauge can tell apart: 1.41 part/gauge, rounded down (AIAG). Five or more are wanted.
   * Infinity where the gauge shows no spread.
   */
  readonly classes: number;
  /** The same before it is rounded. */
  readonly classesExact: number;
}

export interface AnovaResult extends GaugeResult {
  readonly squares: GaugeSums;
  readonly meanSquares: Omit<GaugeSums, 'total'>;
  /** Variances; negative estimates are set to nought. */
  readonly variance: {
    readonly repeatability: number;
    readonly interaction: number;
    readonly person: number;
    readonly part: number;
  };
  /** Chance of so much interaction if there were none; NaN where repeated trials show no spread. */
  readonly interactionChance: number;
}

export interface GaugeSums {
  readonly part: number;
  readonly person: number;
  readonly interaction: number;
  readonly error: number;
  readonly total: number;
}

/**
 * Gauge study by analysis of variance: two crossed random factors with their interaction, which is kept, not pooled
 * (NIST/SEMATECH e-Handbook 2.4; Montgomery, Introduction to Statistical Quality Control, ch. 8).
 */
export function gaugeByAnova(study: GaugeStudy): AnovaResult {
  checkStudy(study);
  const { parts: p, persons: o, trials: r, values } = study;
  const grand = compensatedSum(values) / values.length;
  const cells = new Float64Array(p * o);
  const byPart = new Float64Array(p);
  const byPerson = new Float64Array(o);
  for (let i = 0; i < p; i++)
    for (let j = 0; j < o; j++) {
      const at = (i * o + j) * r;
      const cell = compensatedSum(values.subarray(at, at + r)) / r;
      cells[i * o + j] = cell;
      byPart[i]! += cell / o;
      byPerson[j]! += cell / p;
    }
  const squaresOf = (means: Float64Array, times: number) => times * means.reduce((s, m) => s + (m - grand) ** 2, 0);
  let interaction = 0;
  let error = 0;
  for (let i = 0; i < p; i++)
    for (let j = 0; j < o; j++) {
      const cell = cells[i * o + j]!;
      interaction += r * (cell - byPart[i]! - byPerson[j]! + grand) ** 2;
      for (let t = 0; t < r; t++) error += (values[(i * o + j) * r + t]! - cell) ** 2;
    }
  const part = squaresOf(byPart, o * r);
  const person = squaresOf(byPerson, p * r);
  const meanSquares = {
    part: part / (p - 1),
    person: person / (o - 1),
    interaction: interaction / ((p - 1) * (o - 1)),
    error: error / (p * o * (r - 1)),
  };
  const variance = {
    repeatability: meanSquares.error,
    interaction: Math.max(0, (meanSquares.interaction - meanSquares.error) / r),
    person: Math.max(0, (meanSquares.person - meanSquares.interaction) / (p * r)),
    part: Math.max(0, (meanSquares.part - meanSquares.interaction) / (o * r)),
  };
  return {
    ...resultOf(
      Math.sqrt(variance.repeatability),
      Math.sqrt(variance.person + variance.interaction),
      Math.sqrt(variance.part),
    ),
    squares: { part, person, interaction, error, total: part + person + interaction + error },
    meanSquares,
    variance,
    interactionChance:
      meanSquares.error > 0
        ? fShareAbove(meanSquares.interaction / meanSquares.error, (p - 1) * (o - 1), p * o * (r - 1))
        : Number.NaN,
  };
}

export interface OnePersonResult {
  readonly repeatability: number;
  /** Degrees of freedom that it rests on. */
  readonly degrees: number;
  /** Two-sided interval on it: chi-square, exact for the normal law. */
  readonly low: number;
  readonly high: number;
  /** Spread of the parts; NaN with one part. */
  readonly part: number;
}

/**
 * Repeatability from one person's repeated measurements of one part or several: the standard deviation within parts
 * (one-way analysis of variance, parts random: NIST/SEMATECH e-Handbook 7.4.3). What differs between persons stays
 * unseen.
 */
export function gaugeByOne(parts: number, trials: number, values: Float64Array, confidence = 0.95): OnePersonResult {
  if (!(parts >= 1 && trials >= 2 && values.length === parts * trials))
    throw new RangeError(`gaugeByOne: ${values.length} values of ${parts} parts, ${trials} trials`);
  const grand = compensatedSum(values) / values.length;
  let error = 0;
  let between = 0;
  for (let i = 0; i < parts; i++) {
    const own = values.subarray(i * trials, (i + 1) * trials);
    const mean = compensatedSum(own) / trials;
    between += trials * (mean - grand) ** 2;
    for (const value of own) error += (value - mean) ** 2;
  }
  const degrees = parts * (trials - 1);
  const repeatability = Math.sqrt(error / degrees);
  const limit = (share: number) => repeatability * Math.sqrt(degrees / chiSquareQuantile(share, degrees));
  return {
    repeatability,
    degrees,
    low: limit(0.5 + confidence / 2),
    high: limit(0.5 - confidence / 2),
    part: parts === 1 ? Number.NaN : Math.sqrt(Math.max(0, (between / (parts - 1) - error / degrees) / trials)),
  };
}

export interface RangeResult extends GaugeResult {
  /** Mean range of a person's trials on a part. */
  readonly meanRange: number;
  /** Largest difference between the persons' means. */
  readonly personRange: number;
  /** Range of the parts' means. */
  readonly partRange: number;
}

/**
 * Gauge study by averages and ranges (AIAG Measurement Systems Analysis, 4th ed., III-B). The factors K1 =
 * 1/d2(trials), K2 = 1/d2*(persons), K3 = 1/d2*(parts) follow from the ranges' law; the printed ones have four
 * decimals. It cannot see interaction: the analysis of variance is the better one, this one can be done by hand.
 */
export function gaugeByRanges(study: GaugeStudy): RangeResult {
  checkStudy(study);
  const { parts: p, persons: o, trials: r, values } = study;
  const byPart = new Float64Array(p);
  const byPerson = new Float64Array(o);
  let meanRange = 0;
  for (let i = 0; i < p; i++)
    for (let j = 0; j < o; j++) {
      const trials = values.subarray((i * o + j) * r, (i * o + j + 1) * r);
      const mean = compensatedSum(trials) / r;
      byPart[i]! += mean / o;
      byPerson[j]! += mean / p;
      meanRange += (Math.max(...trials) - Math.min(...trials)) / (p * o);
    }
  const personRange = Math.max(...byPerson) - Math.min(...byPerson);
  const partRange = Math.max(...byPart) - Math.min(...byPart);
  const repeatability = meanRange / chartFactors(r).d2;
  const persons = personRange / chartFactors(o).rmsRange;
  const reproducibility = Math.sqrt(Math.max(0, persons ** 2 - repeatability ** 2 / (p * r)));
  return {
    ...resultOf(repeatability, reproducibility, partRange / chartFactors(p).rmsRange),
    meanRange,
    personRange,
    partRange,
  };
}

function resultOf(repeatability: number, reproducibility: number, part: number): GaugeResult {
  const gauge = Math.hypot(repeatability, reproducibility);
  const total = Math.hypot(gauge, part);
  return {
    repeatability,
    reproducibility,
    gauge,
    part,
    total,
    study_pct: (100 * gauge) / total,
    classes: Math.floor((1.41 * part) / gauge),
    classesExact: (1.41 * part) / gauge,
  };
}

function checkStudy({ parts, persons, trials, values }: GaugeStudy): void {
  if (!(parts >= 2 && persons >= 2 && trials >= 2 && values.length === parts * persons * trials))
    throw new RangeError(
      `gauge study: ${values.length} values of ${parts} parts, ${persons} persons, ${trials} trials`,
    );
}
