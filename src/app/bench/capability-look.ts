/** Whether a process fits between its limits, and how sure that is. */
import { capability, cpInterval, cpkInterval, cpkLower, guardedLimits } from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';

export interface CapabilityRequest {
  readonly mean: number;
  /** Standard deviation of all values. */
  readonly sd: number;
  /** Short-term one, from ranges; the other is taken where there is none. */
  readonly sigma?: number | null | undefined;
  /** How many values they come from; intervals need it. */
  readonly count?: number | undefined;
  readonly lower?: number | undefined;
  readonly upper?: number | undefined;
  readonly target?: number | undefined;
  /** Expanded uncertainty of the measurement: what is accepted lies inside limits drawn in by it. */
  readonly uncertainty?: number | undefined;
  readonly confidence?: number | undefined;
}

interface Range {
  readonly low: number;
  readonly high: number;
}
export interface CapabilityLook {
  readonly lower: number | null;
  readonly upper: number | null;
  readonly target: number | null;
  readonly sigma: number;
  readonly cp: number | null;
  readonly cpk: number;
  readonly cpu: number | null;
  readonly cpl: number | null;
  readonly cpm: number | null;
  /** Distance from the middle of the limits, in half widths. */
  readonly k: number | null;
  /** Two-sided; null without a number of values. */
  readonly cpInterval: Range | null;
  readonly cpkInterval: Range | null;
  /** One-sided: with `confidence` at least this. */
  readonly cpkAtLeast: number | null;
  /** By the standard deviation of all values. */
  readonly ppk: number;
  readonly confidence: number;
  /** Parts per million beyond the limits if the values follow the normal law. */
  readonly outside_ppm: number;
  /** Limits drawn in by the uncertainty; null without one, or where nothing is left between them. */
  readonly accepted: { readonly lower: number | null; readonly upper: number | null } | null;
  readonly notes: readonly string[];
}

/** @throws UserError for limits and spreads that cannot be */
export function capabilityLook(request: CapabilityRequest): CapabilityLook {
  const { mean, sd, count, lower, upper, target, uncertainty, confidence = 0.95 } = request;
  const sigma = request.sigma ?? sd;
  if (lower === undefined && upper === undefined)
    throw userError('capability-limits', 'capability needs a lower or an upper limit', { field: 'lower' });
  if (lower !== undefined && upper !== undefined && !(upper > lower))
    throw userError('capability-limits', `lower is ${lower} and upper ${upper}: the upper one is larger`, {
      field: 'upper',
    });
  if (!(sigma > 0 && sd > 0))
    throw userError(
      'capability-still',
      'the values show no spread: nothing can be said of capability; a meter with finer steps would show one',
      { field: 'sd' },
    );
  if (!(confidence > 0.5 && confidence < 1))
    throw userError('capability-confidence', `confidence is ${confidence}: between 0.5 and 1`, { field: 'confidence' });
  if (count !== undefined && !(Number.isInteger(count) && count >= 2))
    throw userError('capability-count', `${count} values: at least two`, { field: 'of' });
  if (uncertainty !== undefined && !(uncertainty >= 0))
    throw userError('capability-uncertainty', `uncertainty is ${uncertainty}: nought or more`, {
      field: 'uncertainty',
    });
  const limits = { lower, upper, target };
  const found = capability(mean, sigma, limits);
  const guarded = uncertainty === undefined ? undefined : guardedLimits(limits, uncertainty);
  const { cp, cpk } = found;
  return {
    lower: lower ?? null,
    upper: upper ?? null,
    target: target ?? null,
    sigma,
    cp: cp ?? null,
    cpk,
    cpu: found.cpu ?? null,
    cpl: found.cpl ?? null,
    cpm: found.cpm ?? null,
    k: found.offCentre ?? null,
    cpInterval: cp === undefined || count === undefined ? null : cpInterval(cp, count, confidence),
    cpkInterval: count === undefined ? null : cpkInterval(cpk, count, confidence),
    cpkAtLeast: count === undefined ? null : cpkLower(cpk, count, confidence),
    ppk: capability(mean, sd, limits).cpk,
    confidence,
    outside_ppm: 1e6 * found.shareOutside,
    accepted: guarded === undefined ? null : { lower: guarded.lower ?? null, upper: guarded.upper ?? null },
    notes: [
      ...(count !== undefined && count < 25
        ? [`${count} values are few for capability: see the interval (some 25 are wanted; judgement)`]
        : []),
      'capability means something only where the chart is steady and the values lie about as the normal law has it',
      ...(uncertainty !== undefined && guarded === undefined
        ? [`limits drawn in by ${uncertainty} on either side leave nothing: such a meter cannot judge them`]
        : []),
    ],
  };
}

export interface CapabilityOutcome extends CapabilityLook {
  readonly command: 'batch capability';
  readonly verdict: string;
  readonly mean: number;
  readonly sd: number;
  readonly of: number | null;
}

/** The same from figures that are known already. */
export function capabilityOutcome(request: CapabilityRequest): CapabilityOutcome {
  const look = capabilityLook(request);
  const two = (v: number) => v.toFixed(2);
  const interval = look.cpkInterval === null ? '' : ` (${two(look.cpkInterval.low)} to ${two(look.cpkInterval.high)})`;
  return {
    command: 'batch capability',
    verdict: `Cpk ${two(look.cpk)}${interval}: about ${Number(look.outside_ppm.toPrecision(3))} in a million lie outside if the values follow the normal law.`,
    ...{ mean: request.mean, sd: request.sd, of: request.count ?? null },
    ...look,
  };
}
