/** What a sampling plan does, without a lot on the books: the plan of the tables or one's own, and how well it tells lots apart. */
import {
  acceptChance,
  acceptChanceOfLot,
  type InspectionLevel,
  lotPoints,
  qualityAccepted,
  type Severity,
} from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';
import { lettersText, tablePlan } from './table-plan.ts';

export interface SamplingRequest {
  /** Units in the lot; not needed for a plan of one's own that takes them from a steady run. */
  readonly lot?: number | undefined;
  readonly level?: InspectionLevel | undefined;
  readonly aql_pct?: number | undefined;
  readonly severity?: Severity | undefined;
  /** A plan of one's own, in place of the tables. */
  readonly sample?: number | undefined;
  readonly accept?: number | undefined;
  /** The lot stands on its own: no series of lots of one source. */
  readonly isolated?: boolean | undefined;
  /** Shares of defective units at which the chance is told. */
  readonly shares?: readonly number[] | undefined;
  /** For a lot on its own: numbers of defective units. */
  readonly bad?: readonly number[] | undefined;
}

export interface SamplingOutcome {
  readonly command: 'stores sampling';
  readonly verdict: string;
  readonly lot: number | null;
  readonly level: InspectionLevel | null;
  readonly aql_pct: number | null;
  readonly severity: Severity | null;
  /** Letter by lot and level, and letter of the plan after the arrows; null for a plan of one's own. */
  readonly letter: string | null;
  readonly planLetter: string | null;
  readonly sample: number;
  /** The plan asks for the whole lot. */
  readonly wholeLot: boolean;
  readonly accept: number;
  readonly reject: number;
  readonly law: 'binomial' | 'hypergeometric';
  /** Chance that a lot of a share of defective units is accepted. */
  readonly curve: readonly { readonly share: number; readonly bad: number | null; readonly chance: number }[];
  /** Share of defective units that is accepted with a chance of 95, 50 and 10 %. */
  readonly accepted: { readonly p95: number; readonly p50: number; readonly p10: number };
  /** For a lot on its own, in units: most accepted with at least 95 % and 50 %, fewest accepted with at most 10 %. */
  readonly acceptedBad: { readonly p95: number; readonly p50: number; readonly p10: number } | null;
  readonly notes: readonly string[];
}

const SHARES = [0.005, 0.01, 0.02, 0.03, 0.05, 0.1, 0.15, 0.2, 0.3];
/** Three figures of a share, in per cent. */
const percent = (share: number) => `${Number((100 * share).toPrecision(3))} %`;
const bad = (count: number) => (count === 0 ? 'no defective one' : `at most ${count} defective`);

/** The chance that a plan accepts, over the share of defective units, for a table or a picture. */
export function acceptanceAt(
  outcome: Pick<SamplingOutcome, 'law' | 'lot' | 'sample' | 'accept'>,
  share: number,
): { readonly share: number; readonly bad: number | null; readonly chance: number } {
  const { law, lot, sample, accept } = outcome;
  if (law === 'binomial') return { share, bad: null, chance: acceptChance(sample, accept, share) };
  const count = Math.round(share * lot!);
  return { share: count / lot!, bad: count, chance: acceptChanceOfLot(lot!, count, sample, accept) };
}

/**
 * The plan of the tables (ISO 2859-1, single sampling) for a lot, or one of one's own, with its operating characteristic: by the
 * binomial law for a series of lots of a steady source, by the hypergeometric law for a lot on its own.
 *
 * @throws UserError for a plan that cannot be
 */
export function samplingLook(request: SamplingRequest): SamplingOutcome {
  const plan = planOf(request);
  const { lot = null } = request;
  const isolated = request.isolated === true || request.bad !== undefined;
  if (isolated && lot === null)
    throw userError('sampling-lot', 'a lot on its own needs its size: give the lot', { field: 'lot' });
  const law = isolated ? 'hypergeometric' : 'binomial';
  const known = { law, lot, sample: plan.sample, accept: plan.accept } as const;
  const shares = request.bad === undefined ? (request.shares ?? SHARES) : badShares(request.bad, lot!);
  const wrong = shares.find((share) => !(share >= 0 && share <= 1));
  if (wrong !== undefined)
    throw userError('sampling-share', `share ${wrong}: a share of defective units lies between 0 and 1`, {
      field: 'share',
    });
  const { accepted, acceptedBad } = pointsOf(known);
  return {
    command: 'stores sampling',
    verdict: verdictOf(plan, lot, accepted, acceptedBad),
    lot,
    ...plan,
    law,
    // Neighbouring shares of a small lot may come to the same number of units.
    curve: shares
      .map((share) => acceptanceAt(known, share))
      .filter((point, i, all) => point.bad === null || all.findIndex((p) => p.bad === point.bad) === i),
    accepted,
    acceptedBad,
    notes: notesOf(plan, isolated),
  };
}

type PlanPart = Pick<
  SamplingOutcome,
  'level' | 'aql_pct' | 'severity' | 'letter' | 'planLetter' | 'sample' | 'wholeLot' | 'accept' | 'reject'
>;

function planOf({ lot, level = 'II', aql_pct, severity = 'normal', sample, accept }: SamplingRequest): PlanPart {
  if (sample === undefined && accept === undefined) {
    if (lot === undefined || aql_pct === undefined)
      throw userError(
        'sampling-asked',
        'the tables need the size of the lot and an acceptance quality limit (1.0 is usual); or give a plan of your own: sample and accept',
        { field: lot === undefined ? 'lot' : 'aql' },
      );
    return { level, aql_pct, severity, ...tablePlan({ lot, level, aql_pct, severity }) };
  }
  const whole = (value: number | undefined, least: number) =>
    value !== undefined && Number.isInteger(value) && value >= least;
  if (!whole(sample, 1) || !whole(accept, 0) || (lot !== undefined && !whole(lot, 1)))
    throw userError(
      'sampling-own',
      `sample is ${sample ?? 'not given'}, accept ${accept ?? 'not given'}: a plan of your own has both, whole numbers, from 1 and from 0`,
      { field: 'sample' },
    );
  const wholeLot = lot !== undefined && sample! >= lot;
  return {
    ...{ level: null, aql_pct: null, severity: null, letter: null, planLetter: null },
    ...{ sample: wholeLot ? lot : sample!, wholeLot, accept: accept!, reject: accept! + 1 },
  };
}

function badShares(list: readonly number[], lot: number): number[] {
  const wrong = list.find((count) => !(Number.isInteger(count) && count >= 0 && count <= lot));
  if (wrong !== undefined)
    throw userError('sampling-bad', `${wrong} defective in a lot of ${lot}: whole numbers from 0 to the lot`, {
      field: 'bad',
    });
  return list.map((count) => count / lot);
}

function pointsOf(known: Pick<SamplingOutcome, 'law' | 'lot' | 'sample' | 'accept'>) {
  const { law, lot, sample, accept } = known;
  if (law === 'binomial') {
    const at = (chance: number) => qualityAccepted(sample, accept, chance);
    return { accepted: { p95: at(0.95), p50: at(0.5), p10: at(0.1) }, acceptedBad: null };
  }
  const { producer, consumer } = lotPoints(lot!, sample, accept);
  // The chance falls with the number of defective units: the one asked for lies between the two ends.
  let [low, high] = [producer, lot!];
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (acceptChanceOfLot(lot!, middle, sample, accept) >= 0.5) low = middle;
    else high = middle - 1;
  }
  const acceptedBad = { p95: producer, p50: low, p10: consumer };
  return { accepted: { p95: producer / lot!, p50: low / lot!, p10: consumer / lot! }, acceptedBad };
}

function verdictOf(
  plan: PlanPart,
  lot: number | null,
  accepted: SamplingOutcome['accepted'],
  acceptedBad: SamplingOutcome['acceptedBad'],
): string {
  const { sample, wholeLot, accept, reject, letter, planLetter, severity } = plan;
  const letters =
    letter === null || planLetter === null || severity === null
      ? ''
      : ` (${lettersText({ letter, planLetter, severity })})`;
  const look = wholeLot
    ? `Look at all ${sample}${letters}`
    : `Look at ${sample}${lot === null ? '' : ` of ${lot}`}${letters}`;
  const gap =
    reject === accept + 1 ? '' : `; between the two accept this lot, and look at the next one by the normal plan`;
  const decide = `accept with ${bad(accept)}, refuse from ${reject}${gap}`;
  const still = wholeLot
    ? ''
    : acceptedBad === null
      ? ` A run with ${percent(accepted.p95)} defective is accepted nineteen times in twenty, one with ${percent(accepted.p10)} still one time in ten.`
      : ` A lot with ${acceptedBad.p95} defective is accepted at least nineteen times in twenty, one with ${acceptedBad.p10} at most one time in ten.`;
  return `${look}: ${decide}.${still}`;
}

function notesOf({ letter, planLetter, wholeLot, severity }: PlanPart, isolated: boolean): string[] {
  const notes: string[] = [];
  if (letter !== null && letter !== planLetter)
    notes.push(`an arrow leads from letter ${letter} to letter ${planLetter}: the sample size goes with it`);
  if (wholeLot && letter !== null) notes.push('the plan asks for as many units as the lot has, or more: look at all');
  if (letter !== null)
    notes.push(
      isolated
        ? 'the tables are made for a series of lots; for one on its own the chances are what counts'
        : 'single sampling of ISO 2859-1 and MIL-STD-105E, for a series of lots from one source; the numbers do not suit a lot on its own (isolated)',
    );
  if (severity === 'reduced')
    notes.push('reduced inspection follows MIL-STD-105E, with a gap between accept and reject number');
  return notes;
}
