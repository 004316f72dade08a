import { type AgeingInput, checkInput, type RestingCharge, warningsOf } from './ageing-input.ts';
import type { AgeingModel } from './ageing-laws.ts';
import {
  ageingVoltage_V,
  alphaResistance,
  calendarRate,
  cycleAgeing,
  REFERENCE_CELL_Ah,
  rmsVoltage_V,
  TIME_EXPONENT,
} from './ageing-laws.ts';

const DAYS_PER_YEAR = 365;
/** Exponent of time of the 2014 paper's resistance law. */
const RESISTANCE_EXPONENT = 0.75;
/** Life is not followed further than this, years. */
export const LONGEST_LIFE_years = 60;

/** Ageing at each of the years asked for. */
export interface AgeingCourse {
  readonly modelled: true;
  readonly model: AgeingModel;
  readonly years: readonly number[];
  /** Capacity left over that of a new cell. */
  readonly capacityShare: readonly number[];
  /** Resistance over that of a new cell. */
  readonly resistanceFactor: readonly number[];
  /** Loss by standing and by cycling, as shares of the new capacity. */
  readonly calendarLoss: readonly number[];
  readonly cycleLoss: readonly number[];
  readonly warnings: readonly string[];
}

/** The answer for cells whose ageing no law here describes. */
export interface NotModelled {
  readonly modelled: false;
  readonly reason: string;
}

const NOT_MODELLED: NotModelled = {
  modelled: false,
  reason:
    'Ageing is not modelled for a table of your own (LFP and others): give measured capacity and resistance instead.',
};

/** Yearly growth of loss^(1/p) for capacity and for resistance: all that the equivalent-time rule keeps of a year. */
interface YearRates {
  readonly capacity: number;
  readonly resistance: number;
}

/**
 * Capacity and resistance after some years of the same year over and over.
 *
 * Calendar part: the law of `model`, stepped through the hours by the equivalent-time rule (exact, see `stepCalendar`).
 * Cycle part and resistance: Schmalstieg 2014 for every model, since the other two laws know storage only. The cell's
 * capacity cancels: throughput is given in full cycles. Losses add, as in the 2014 paper. Not modelled: knees, lithium
 * plating below 0 °C, the deeper cycle of a shrunken cell. Laws check to 0.2 % of the loss against their sources' points;
 * the whole is not validated against cells in the field. Between the models the loss differs by a factor of about two:
 * show both (`yearsTo`).
 *
 * @throws RangeError for no temperatures, a value that is not a number, soc outside 0..1, or unequal lengths
 */
export function ageYears(input: AgeingInput, years: readonly number[]): AgeingCourse | NotModelled {
  checkInput(input);
  if (input.chemistry === 'table') return NOT_MODELLED;
  const model = input.model ?? 'nmc-2014';
  const rates = yearRates(input, model);
  const cycle = yearCycle(input);
  const p = TIME_EXPONENT[model];
  const calendarLoss = years.map((y) => (rates.capacity * y) ** p);
  const cycleLoss = years.map((y) => cycle.capacityLoss * Math.sqrt(y));
  return {
    modelled: true,
    model,
    years: [...years],
    capacityShare: calendarLoss.map((loss, i) => Math.max(0, 1 - loss - cycleLoss[i])),
    resistanceFactor: years.map((y) => 1 + (rates.resistance * y) ** RESISTANCE_EXPONENT + cycle.resistanceGain * y),
    calendarLoss,
    cycleLoss,
    warnings: warningsOf(input, model, Math.max(0, ...years)),
  };
}

/** Years until a share of the capacity is left, by each model. */
export interface LifeRange {
  readonly modelled: true;
  readonly share: number;
  readonly byModel: readonly { readonly model: AgeingModel; readonly years: number; readonly beyond: boolean }[];
  /** The shortest and the longest of them. */
  readonly low_years: number;
  readonly high_years: number;
  /** The longest is a lower bound: it lies beyond `LONGEST_LIFE_years`. */
  readonly highBeyond: boolean;
  readonly warnings: readonly string[];
}

/**
 * Years until the capacity falls to `share` of new, as a range over the models (default: the 2014 law and the NCA fit as
 * second opinion). A life beyond 60 years is given as 60 with `beyond`.
 */
export function yearsTo(
  input: Omit<AgeingInput, 'model'>,
  share = 0.8,
  models: readonly AgeingModel[] = ['nmc-2014', 'nca-2016'],
): LifeRange | NotModelled {
  checkInput(input);
  if (!(share > 0 && share < 1)) throw new RangeError(`share must lie between 0 and 1, not ${share}`);
  if (input.chemistry === 'table') return NOT_MODELLED;
  const cycle = yearCycle(input);
  const byModel = models.map((model) => {
    const rates = yearRates(input, model);
    const loss = (y: number) => (rates.capacity * y) ** TIME_EXPONENT[model] + cycle.capacityLoss * Math.sqrt(y);
    const years = solveYears(loss, 1 - share);
    return { model, years, beyond: years >= LONGEST_LIFE_years };
  });
  const all = byModel.map((m) => m.years);
  const high_years = Math.max(...all);
  return {
    modelled: true,
    share,
    byModel,
    low_years: Math.min(...all),
    high_years,
    highBeyond: high_years >= LONGEST_LIFE_years,
    warnings: [...new Set(models.flatMap((model) => warningsOf(input, model, high_years)))],
  };
}

/** One row of `ceilingTable`. */
export interface CeilingRow {
  /** State of charge at which charging stops. */
  readonly ceilingSoc: number;
  /** Rested voltage there in the 2014 paper's cell, V. */
  readonly voltage_V: number;
  /** Calendar rate over that at 100 %, by the 2014 law (the same at every temperature) and by the NCA fit. */
  readonly relativeRate: number;
  readonly relativeRateSecond: number;
}

/** What a ceiling buys: the calendar rate alpha at each ceiling over that at 100 %. What it costs is 1 - ceilingSoc. */
export function ceilingTable(ceilings: readonly number[], temperature_degC = 25): CeilingRow[] {
  return ceilings.map((ceilingSoc) => {
    const relative = (model: AgeingModel) =>
      calendarRate(model, ceilingSoc, temperature_degC) / calendarRate(model, 1, temperature_degC);
    return {
      ceilingSoc,
      voltage_V: ageingVoltage_V(ceilingSoc),
      relativeRate: relative('nmc-2014'),
      relativeRateSecond: relative('nca-2016'),
    };
  });
}

function yearRates(input: AgeingInput, model: AgeingModel): YearRates {
  const { temperatureHours_degC: temperatures, charge } = input;
  const hours = temperatures.length;
  const p = TIME_EXPONENT[model];
  let capacity = 0;
  let resistance = 0;
  const add = (soc: number, temperature_degC: number, weight: number) => {
    capacity += weight * calendarRate(model, soc, temperature_degC) ** (1 / p);
    resistance += weight * alphaResistance(ageingVoltage_V(soc), temperature_degC) ** (1 / RESISTANCE_EXPONENT);
  };
  if ('socHours' in charge) for (let h = 0; h < hours; h++) add(charge.socHours[h], temperatures[h], 1);
  else {
    const bins = chargeBins(charge);
    for (let h = 0; h < hours; h++) for (const bin of bins) add(bin.soc, temperatures[h], bin.share);
  }
  return { capacity: (capacity / hours) * DAYS_PER_YEAR, resistance: (resistance / hours) * DAYS_PER_YEAR };
}

function chargeBins(charge: Exclude<RestingCharge, { socHours: ArrayLike<number> }>): { soc: number; share: number }[] {
  if ('ceilingSoc' in charge) return [{ soc: charge.ceilingSoc, share: 1 }];
  const weights = Array.from(charge.socHistogram);
  const total = weights.reduce((sum, w) => sum + w, 0);
  return weights.map((w, i) => ({ soc: (i + 0.5) / weights.length, share: w / total })).filter((bin) => bin.share > 0);
}

/** Cycle ageing of the first year; the loss then grows with √years, the gain of resistance with years. */
function yearCycle(input: AgeingInput) {
  const { charge, depth } = input;
  let top: number;
  if ('ceilingSoc' in charge) top = charge.ceilingSoc;
  else {
    const mean =
      'socHours' in charge
        ? Array.from(charge.socHours).reduce((sum, soc) => sum + soc, 0) / charge.socHours.length
        : chargeBins(charge).reduce((sum, bin) => sum + bin.soc * bin.share, 0);
    top = Math.min(1, mean + depth / 2);
  }
  return cycleAgeing({
    throughput_Ah: 2 * REFERENCE_CELL_Ah * input.equivalentFullCycles_per_year,
    capacity_Ah: REFERENCE_CELL_Ah,
    rmsVoltage_V: rmsVoltage_V(Math.max(0, top - depth), top),
    depth,
  });
}

function solveYears(loss: (years: number) => number, target: number): number {
  let low = 0;
  let high = LONGEST_LIFE_years;
  if (loss(high) <= target) return high;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (loss(middle) < target) low = middle;
    else high = middle;
  }
  return high;
}
