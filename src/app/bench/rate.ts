/** How sure a rate is: so many failed of so many, and what that says of all that will be made. */
import { clopperPearson } from '../../core/math/index.ts';
import { unitsWithoutFailure, upperLimit, wilson } from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';

export interface RateRequest {
  readonly failed: number;
  readonly of: number;
  readonly confidence?: number | undefined;
  /** Shares that are to be good, for the number of units to test without a failure. */
  readonly reliabilities?: readonly number[] | undefined;
}

interface Range {
  readonly low: number;
  readonly high: number;
}
export interface RateOutcome {
  readonly command: 'batch rate';
  readonly verdict: string;
  readonly failed: number;
  readonly of: number;
  readonly confidence: number;
  readonly share: number;
  /** Two-sided. */
  readonly wilson: Range;
  readonly clopperPearson: Range;
  /** One-sided: with `confidence` no more than this fail. */
  readonly atMost: number;
  /** Units to test without one failure so that with `confidence` the share of good ones is at least `reliability`. */
  readonly withoutFailure: readonly { readonly reliability: number; readonly units: number }[];
  readonly notes: readonly string[];
}

const RELIABILITIES = [0.9, 0.95, 0.99];
/** Fewer are called few (judgement: the interval is then wider than a percentage point even when none fails). */
export const FEW = 300;
export const percent = (share: number) => `${Number((100 * share).toPrecision(3))} %`;

/** @throws UserError for counts and shares that cannot be */
export function rate(request: RateRequest): RateOutcome {
  const { failed, of, confidence = 0.95, reliabilities = RELIABILITIES } = request;
  if (!(Number.isInteger(of) && of >= 1 && Number.isInteger(failed) && failed >= 0 && failed <= of))
    throw userError('rate-counts', `${failed} failed of ${of}: whole numbers, at least one tested, no more failed`, {
      field: 'failed',
    });
  if (!(confidence > 0.5 && confidence < 1))
    throw userError('rate-confidence', `confidence is ${confidence}: between 0.5 and 1, 0.95 is usual`, {
      field: 'confidence',
    });
  const wrong = reliabilities.find((r) => !(r > 0 && r < 1));
  if (wrong !== undefined)
    throw userError('rate-reliability', `reliability is ${wrong}: a share of good units between 0 and 1`, {
      field: 'reliability',
    });
  const exact = clopperPearson(failed, of, confidence);
  const score = wilson(failed, of, confidence);
  const atMost = upperLimit(failed, of, confidence);
  const sure = percent(confidence);
  return {
    command: 'batch rate',
    verdict: `${failed} of ${of} failed, ${percent(failed / of)}: between ${percent(exact.low)} and ${percent(exact.high)} of all (${sure}, exact).`,
    failed,
    of,
    confidence,
    share: failed / of,
    wilson: { low: score.low, high: score.high },
    clopperPearson: { low: exact.low, high: exact.high },
    atMost,
    withoutFailure: reliabilities.map((reliability) => ({
      reliability,
      units: unitsWithoutFailure(reliability, confidence),
    })),
    notes: [
      ...(of < FEW
        ? [
            `${of} ${of === 1 ? 'unit is' : 'units are'} few: up to ${percent(atMost)} of all could fail (${sure}, one-sided)`,
          ]
        : []),
      'the exact interval (Clopper & Pearson 1934) never promises too much; the score interval (Wilson 1927) is narrower and holds on average',
      'the units must stand for those to come: drawn by chance, made the same way',
    ],
  };
}
