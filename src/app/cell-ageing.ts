import {
  type AgeingInput,
  type AgeingModel,
  ageYears,
  ceilingTable,
  type OcvTable,
  openCircuit_V,
  yearsTo,
} from '../core/cells/index.ts';

/** Years to 80 % of the capacity over the models; `highBeyond`: the longest is a lower bound. */
export interface LifeSpan {
  readonly low: number;
  readonly high: number;
  readonly highBeyond: boolean;
}

/** How cells age that rest at one ceiling and one temperature. */
export interface CellAgeing {
  readonly modelled: boolean;
  readonly ceiling_soc: number;
  readonly temperature_degC: number;
  readonly depth: number;
  readonly equivalentFullCycles_per_year: number;
  /** The 2014 law and the second opinion, at the age asked for. */
  readonly models: readonly {
    readonly model: AgeingModel;
    readonly age_years: number;
    readonly capacityShare: number;
    readonly resistanceFactor: number;
    readonly calendarLoss: number;
    readonly cycleLoss: number;
    readonly yearsTo80: number;
    readonly beyond: boolean;
  }[];
  readonly yearsTo80: LifeSpan | null;
  readonly course: readonly {
    readonly age_years: number;
    readonly capacityShare: number;
    readonly capacityShareSecond: number;
    readonly resistanceFactor: number;
  }[];
  /** What other ceilings buy: calendar rate over that at 100 %, by both models, and the life. */
  readonly ceilings: readonly {
    readonly ceiling_soc: number;
    readonly restedVoltage_V: number;
    readonly relativeRate: number;
    readonly relativeRateSecond: number;
    readonly yearsTo80: LifeSpan;
  }[];
  readonly warnings: readonly string[];
}

const MODELS: readonly AgeingModel[] = ['nmc-2014', 'nca-2016'];
const COURSE_years = [1, 2, 3, 5, 8, 10, 15];
const CEILINGS = [0.8, 0.85, 0.9, 0.95, 1];

/** Ageing of cells by the two laws of core/cells that the whole program shows; not modelled for a voltage table of one's own. */
export function cellAgeing(
  input: AgeingInput & { readonly charge: { readonly ceilingSoc: number } },
  table: OcvTable,
  age_years: number,
): CellAgeing {
  const head = {
    ceiling_soc: input.charge.ceilingSoc,
    temperature_degC: input.temperatureHours_degC[0]!,
    depth: input.depth,
    equivalentFullCycles_per_year: input.equivalentFullCycles_per_year,
  };
  const life = yearsTo(input, 0.8, MODELS);
  const [first, second] = MODELS.map((model) => ageYears({ ...input, model }, COURSE_years)) as [
    ReturnType<typeof ageYears>,
    ReturnType<typeof ageYears>,
  ];
  if (!life.modelled || !first.modelled || !second.modelled)
    return {
      modelled: false,
      ...head,
      models: [],
      yearsTo80: null,
      course: [],
      ceilings: [],
      warnings: life.modelled ? [] : [life.reason],
    };
  return {
    modelled: true,
    ...head,
    models: life.byModel.map(({ model, years, beyond }) => {
      const now = ageYears({ ...input, model }, [age_years]);
      if (!now.modelled) throw new RangeError('cellAgeing: modelled once and then not');
      return {
        model,
        age_years,
        capacityShare: now.capacityShare[0]!,
        resistanceFactor: now.resistanceFactor[0]!,
        calendarLoss: now.calendarLoss[0]!,
        cycleLoss: now.cycleLoss[0]!,
        yearsTo80: years,
        beyond,
      };
    }),
    yearsTo80: spanOf(life),
    course: COURSE_years.map((years, i) => ({
      age_years: years,
      capacityShare: first.capacityShare[i]!,
      capacityShareSecond: second.capacityShare[i]!,
      resistanceFactor: first.resistanceFactor[i]!,
    })),
    ceilings: ceilingTable(CEILINGS, head.temperature_degC).map((row) => {
      const at = yearsTo({ ...input, charge: { ceilingSoc: row.ceilingSoc } }, 0.8, MODELS);
      if (!at.modelled) throw new RangeError('cellAgeing: modelled once and then not');
      return {
        ceiling_soc: row.ceilingSoc,
        restedVoltage_V: openCircuit_V(table, row.ceilingSoc),
        relativeRate: row.relativeRate,
        relativeRateSecond: row.relativeRateSecond,
        yearsTo80: spanOf(at),
      };
    }),
    warnings: life.warnings,
  };
}

const spanOf = (life: { low_years: number; high_years: number; highBeyond: boolean }): LifeSpan => ({
  low: life.low_years,
  high: life.high_years,
  highBeyond: life.highBeyond,
});
