/** Units to keep back for warranty: what fails over the years, and how many last with a chance. */
import { demandAhead, demandMean, demandQuantile, poissonDemand } from '../../core/money/index.ts';
import { userError } from '../../core/units/index.ts';
import { moneyText } from './cost-price.ts';
import type { BenchState } from './state.ts';

export interface SparesOutcome {
  readonly command: 'cost spares';
  readonly verdict: string;
  readonly units: number;
  readonly years: number;
  readonly sure: number;
  /** Of units in a year, in per cent. */
  readonly rate_pct: number;
  /** What came back so far, when the rate was read from it; null when it was told. */
  readonly seen: { readonly returned: number; readonly unit_years: number } | null;
  /** Replacements to be expected, and spares that last with chance `sure`. */
  readonly mean: number;
  readonly spares: number;
  readonly currency: string | null;
  readonly cost_minor: number | null;
  readonly notes: readonly string[];
}

export interface SparesRequest {
  readonly state: BenchState | null;
  /** Batch or plan whose units are in the field. */
  readonly what?: string | undefined;
  readonly now: string;
  readonly units?: number | undefined;
  readonly rate_pct?: number | undefined;
  readonly years?: number | undefined;
  readonly sure?: number | undefined;
  /** What a unit costs, when that is known. */
  readonly cost?: { readonly cost_minor: number; readonly currency: string } | null;
}

const YEAR_ms = 365.25 * 86_400_000;

export function sparesOutcome(request: SparesRequest): SparesOutcome {
  const { years = 2, sure = 0.95, cost = null } = request;
  const field = inField(request);
  const units = request.units ?? field?.units ?? 0;
  if (units === 0)
    throw userError(
      'spares-no-units',
      'no unit is in the field: give --units, or name a batch or plan of which some have shipped',
      { field: 'units' },
    );
  if (request.rate_pct === undefined && (field === null || field.unit_years <= 0))
    throw userError(
      'spares-no-rate',
      'how many fail in a year is not known: give --rate, or name a batch or plan of which units have been in the field for a while',
      { field: 'rate_pct' },
    );
  const byRate = request.rate_pct !== undefined;
  const law = byRate
    ? poissonDemand(bounded((units * request.rate_pct * years) / 100))
    : demandAhead(field!.returned, field!.unit_years, longEnough(field!, units * years));
  const spares = demandQuantile(law, sure);
  const mean = demandMean(law);
  const rate_pct = request.rate_pct ?? (100 * field!.returned) / field!.unit_years;
  const cost_minor = cost === null ? null : spares * cost.cost_minor;
  const money = cost === null ? '' : `, ${moneyText(cost_minor!, cost.currency)} of cost`;
  const verdict = `Keep ${spares} ${spares === 1 ? 'spare' : 'spares'} for ${units} ${units === 1 ? 'unit' : 'units'} over ${years} ${years === 1 ? 'year' : 'years'}${money}: ${mean.toFixed(1)} replacements are to be expected, and ${spares} last with a chance of ${Number((100 * sure).toFixed(1))} %.`;
  return {
    command: 'cost spares',
    verdict,
    units,
    years,
    sure,
    rate_pct,
    seen: byRate || field === null ? null : { returned: field.returned, unit_years: field.unit_years },
    mean,
    spares,
    currency: cost?.currency ?? null,
    cost_minor,
    notes: byRate
      ? ['the rate is taken as told: replacements follow a Poisson law']
      : [
          `${field!.returned} came back in ${field!.unit_years.toFixed(1)} unit-years; the rate is known only from these: replacements are negative binomial, wider than Poisson`,
          'a unit that came back counts as one that is replaced, whatever was wrong with it',
        ],
  };
}

/** Units that went out yesterday say nothing of years. */
function longEnough({ returned, unit_years }: NonNullable<ReturnType<typeof inField>>, ahead: number): number {
  if (((returned + 0.5) * ahead) / unit_years > 1e4)
    throw userError(
      'spares-no-rate',
      `${unit_years.toFixed(2)} unit-years in the field are too few to tell of ${Math.round(ahead)}: give --rate`,
      { field: 'rate_pct' },
    );
  return ahead;
}

/** More than the law of a demand can be told for. */
function bounded(mean: number): number {
  if (mean > 1e5)
    throw userError(
      'too-many',
      `${Math.round(mean)} unit-years or replacements are more than are computed here: take fewer units or years`,
      {
        field: 'units',
      },
    );
  return mean;
}

function inField({ state, what, now }: SparesRequest) {
  if (state === null || what === undefined) return null;
  const mine = [...state.units.values()].filter(
    (unit) => unit.batch === what || state.batches.get(unit.batch)?.plan === what,
  );
  const shipped = mine.filter((unit) => unit.shipped !== null);
  return {
    units: shipped.length,
    returned: shipped.reduce((sum, unit) => sum + unit.returns, 0),
    unit_years: shipped.reduce(
      (sum, unit) => sum + Math.max(0, Date.parse(now) - Date.parse(unit.shipped!.at)) / YEAR_ms,
      0,
    ),
  };
}
