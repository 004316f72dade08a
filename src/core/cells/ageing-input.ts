import type { AgeingModel } from './ageing-laws.ts';
import { AGEING_RANGE } from './ageing-laws.ts';
import type { Chemistry } from './chemistry.ts';

/** Temperatures outside are no cell's: they catch kelvins and values that are not numbers. */
const PLAUSIBLE_degC = { lowest: -100, highest: 150 } as const;
/**
 * How full the cells stand: one state of charge all year (they rest at the ceiling); the share of the year in each of
 * evenly wide bins from 0 to 1; or one value for each hour of `temperatureHours_degC`, which alone keeps summer's heat
 * and summer's fullness together.
 */
export type RestingCharge =
  | { readonly ceilingSoc: number }
  | { readonly socHistogram: ArrayLike<number> }
  | { readonly socHours: ArrayLike<number> };

/** What ages the cells in one year, which then repeats. */
export interface AgeingInput {
  readonly chemistry: Chemistry;
  readonly charge: RestingCharge;
  /** Cell temperatures over one year (or any span that stands for it), °C; evenly spaced. */
  readonly temperatureHours_degC: ArrayLike<number>;
  /** Charge through the cells in a year, in full cycles (one cycle: the capacity in and out again). */
  readonly equivalentFullCycles_per_year: number;
  /** Depth of the ordinary cycle, 0..1: for a repeater the swing of a day. */
  readonly depth: number;
  /** Default: `nmc-2014`. */
  readonly model?: AgeingModel | undefined;
}

/** Where an answer rests on more than the law's own data. */
export function warningsOf(input: AgeingInput, model: AgeingModel, longest_years: number): string[] {
  const temperatures = input.temperatureHours_degC;
  const range = AGEING_RANGE[model];
  let below = 0;
  let above = 0;
  for (let h = 0; h < temperatures.length; h++) {
    if (temperatures[h] < range.lowest_degC) below++;
    else if (temperatures[h] > range.highest_degC) above++;
  }
  const percent = (count: number) => `${Math.max(1, Math.round((100 * count) / temperatures.length))} %`;
  const warnings: string[] = [];
  if (below > 0)
    warnings.push(
      `${percent(below)} of the year is below ${range.lowest_degC} °C, where the ageing law ${model} is an extrapolation.`,
    );
  if (above > 0)
    warnings.push(
      `${percent(above)} of the year is above ${range.highest_degC} °C, where the ageing law ${model} is an extrapolation.`,
    );
  if (longest_years > 2)
    warnings.push(
      'The ageing laws rest on one to two years of storage and cycling: later years are extrapolated, and a sudden drop at the end of life is not modelled.',
    );
  return warnings;
}

/** @throws RangeError for what no caller should pass */
export function checkInput(input: AgeingInput): void {
  const { temperatureHours_degC: temperatures, charge } = input;
  const bad = (message: string) => {
    throw new RangeError(message);
  };
  if (temperatures.length === 0) bad('temperatureHours_degC is empty');
  for (let h = 0; h < temperatures.length; h++)
    if (!(temperatures[h] > PLAUSIBLE_degC.lowest && temperatures[h] < PLAUSIBLE_degC.highest))
      bad(`temperatureHours_degC[${h}] is ${temperatures[h]}`);
  const soc = (value: number, name: string) => {
    if (!(value >= 0 && value <= 1)) bad(`${name} is ${value}: it lies between 0 and 1`);
  };
  soc(input.depth, 'depth');
  if (!(input.equivalentFullCycles_per_year >= 0 && input.equivalentFullCycles_per_year < 1e5))
    bad(`equivalentFullCycles_per_year is ${input.equivalentFullCycles_per_year}`);
  if ('ceilingSoc' in charge) soc(charge.ceilingSoc, 'ceilingSoc');
  else if ('socHours' in charge) {
    if (charge.socHours.length !== temperatures.length) bad('socHours and temperatureHours_degC differ in length');
    for (let h = 0; h < charge.socHours.length; h++) soc(charge.socHours[h], `socHours[${h}]`);
  } else {
    let total = 0;
    for (let i = 0; i < charge.socHistogram.length; i++) {
      if (!(charge.socHistogram[i] >= 0)) bad(`socHistogram[${i}] is ${charge.socHistogram[i]}`);
      total += charge.socHistogram[i];
    }
    if (!(total > 0)) bad('socHistogram is empty');
  }
}
