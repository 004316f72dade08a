/** Own housing tool or bought-in housings: from how many it pays, what it is worth, and when it is paid back. */
import { createRandom } from '../../core/math/index.ts';
import {
  crossoverQuantity,
  paybackYears,
  presentValue,
  type ToolAnswer,
  toolOrBought,
  type UncertainOption,
} from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import { meanOf, RUNS, seedOf, uncertainOf } from './cost-guess.ts';

export interface CrossoverOutcome {
  readonly command: 'cost crossover';
  readonly verdict: string;
  readonly currency: string;
  /** With the middle values alone; null when the tool never pays. */
  readonly units: number | null;
  /** 5 %, 50 %, 95 %; null where the tool never pays. */
  readonly unitsLow: number | null;
  readonly unitsMiddle: number | null;
  readonly unitsHigh: number | null;
  /** Chance that the tool is cheaper over the demand; and that it never is, whatever the demand. */
  readonly pays: number;
  readonly neverPays: number;
  readonly demandMean: number;
  readonly years: number;
  readonly interest_pct: number;
  /** What the tool earns over its life in the money of today: with the means alone; 5 %, 50 %, 95 %. */
  readonly worth_minor: number;
  readonly worth: { readonly low_minor: number; readonly middle_minor: number; readonly high_minor: number };
  /** Years until it is paid back, interest left out: with the means alone, and the spread; null: not within its life. */
  readonly payback_years: number | null;
  readonly paybackLow_years: number | null;
  readonly paybackMiddle_years: number | null;
  readonly paybackHigh_years: number | null;
  readonly savings: readonly {
    readonly quantity: number;
    readonly low_minor: number;
    readonly middle_minor: number;
    readonly high_minor: number;
  }[];
  readonly runs: number;
  readonly seed: number;
  readonly notes: readonly string[];
}

type HousingOption = NonNullable<CostFile['housing']>['tool'];
const optionOf = (o: HousingOption): UncertainOption => ({
  fixed: uncertainOf(o.fixed_minor),
  unit: uncertainOf(o.unit_minor),
  yieldShare: uncertainOf(o.yieldShare),
});
const middleOf = (o: HousingOption) => ({
  fixed: meanOf(uncertainOf(o.fixed_minor)),
  unit: meanOf(uncertainOf(o.unit_minor)),
  yieldShare: meanOf(uncertainOf(o.yieldShare)),
});

/** Own housing tool or bought-in housings. */
export function crossoverOutcome(
  file: CostFile,
  seed: number = seedOf(undefined, file),
  runs: number = RUNS,
): CrossoverOutcome {
  const { housing, currency } = file;
  if (housing === undefined)
    throw userError('cost-no-housing', 'the file of assumptions says nothing of housings: give `housing`', {
      field: 'housing',
    });
  const demand = uncertainOf(housing.demand);
  const mean = meanOf(demand);
  const quantities = [
    ...new Set([0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75, 2].map((f) => Math.max(1, Math.round(f * mean)))),
  ];
  const answer = toolOrBought(
    { bought: optionOf(housing.bought), tool: optionOf(housing.tool), demand, runs, quantities },
    createRandom(seed),
  );
  const whole = (q: number) => (Number.isFinite(q) ? Math.ceil(q - 1e-9) : null);
  const units = whole(crossoverQuantity(middleOf(housing.bought), middleOf(housing.tool)));
  const [low, middle, high] = [whole(answer.low), whole(answer.middle), whole(answer.high)];
  const { years, interest_pct } = housing;
  const worth = worthOf(answer, years, interest_pct);
  const means = { bought: middleOf(housing.bought), tool: middleOf(housing.tool) };
  const extra = means.tool.fixed - means.bought.fixed;
  const saved =
    (mean * (means.bought.unit / means.bought.yieldShare - means.tool.unit / means.tool.yieldShare)) / years;
  const cash = [-extra, ...new Array<number>(years).fill(saved)];
  const worth_minor = Math.round(presentValue(cash, interest_pct / 100));
  const chance = Math.round(100 * answer.pays);
  const pays = worth.payback.middle === null ? '' : `, after about ${worth.payback.middle.toFixed(1)} years`;
  const verdict =
    middle === null
      ? `The tool does not pay: in ${Math.round(100 * answer.neverPays)} of 100 cases a housing out of it is no cheaper than a bought one.`
      : `The tool pays from about ${middle} good housings (${low} to ${high ?? 'never'} in nine cases of ten); over the demand that is thought of, the chance that it has paid is ${chance} %${pays}.`;
  return {
    command: 'cost crossover',
    verdict,
    currency,
    units,
    unitsLow: low,
    unitsMiddle: middle,
    unitsHigh: high,
    pays: answer.pays,
    neverPays: answer.neverPays,
    demandMean: mean,
    years,
    interest_pct,
    worth_minor,
    worth: worth.worth,
    payback_years: finite(paybackYears(cash)),
    paybackLow_years: worth.payback.low,
    paybackMiddle_years: worth.payback.middle,
    paybackHigh_years: worth.payback.high,
    savings: answer.savings.map(({ quantity, low: l, middle: m, high: h }) => ({
      quantity,
      low_minor: Math.round(l),
      middle_minor: Math.round(m),
      high_minor: Math.round(h),
    })),
    runs,
    seed,
    notes: [
      'the spread is only as good as the guesses in the file',
      `the demand is spread evenly over ${years} ${years === 1 ? 'year' : 'years'}; ${interest_pct === 0 ? 'money saved later counts in full' : `money saved later is discounted at ${interest_pct} % a year`}; storage of tools and moulding minimums are not counted`,
    ],
  };
}

const finite = (years: number) => (Number.isFinite(years) ? years : null);

/** Worth today and years to pay back of each draw, as spreads. */
function worthOf({ extra, profitBought, profitTool }: ToolAnswer, years: number, interest_pct: number) {
  // Saved once a year, years times, in the money of today.
  const today = presentValue([0, ...new Array<number>(years).fill(1)], interest_pct / 100);
  const draws = Array.from(extra, (paid, i) => ({ paid, saved: (profitTool[i]! - profitBought[i]! + paid) / years }));
  const worth = Float64Array.from(draws, ({ paid, saved }) => saved * today - paid).sort();
  const payback = Float64Array.from(draws, ({ paid, saved }) =>
    paid <= 0 ? 0 : saved > 0 && paid <= saved * years ? paid / saved : Number.POSITIVE_INFINITY,
  ).sort();
  // Counted, not interpolated: beside an infinite one there is nothing between.
  const at = (sorted: Float64Array, p: number) => sorted[Math.round(p * (sorted.length - 1))]!;
  return {
    worth: {
      low_minor: Math.round(at(worth, 0.05)),
      middle_minor: Math.round(at(worth, 0.5)),
      high_minor: Math.round(at(worth, 0.95)),
    },
    payback: { low: finite(at(payback, 0.05)), middle: finite(at(payback, 0.5)), high: finite(at(payback, 0.95)) },
  };
}
