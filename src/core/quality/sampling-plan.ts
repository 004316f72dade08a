import type { Problem } from '../units/index.ts';
import { UserError } from '../units/index.ts';
import type { InspectionLevel, Severity } from './sampling-tables.ts';
import {
  AQL_pct,
  CODE_LETTERS,
  codeLetter,
  INSPECTION_LEVELS,
  letterCount,
  letterSize,
  tableCell,
} from './sampling-tables.ts';

export interface PlanRequest {
  /** Units in the lot. */
  readonly lot: number;
  readonly level: InspectionLevel;
  /** One of `AQL_pct`. */
  readonly aql_pct: number;
  readonly severity: Severity;
}

/** How many to look at and how many bad ones decide. */
export interface SamplingPlan {
  /** Letter that lot and level give. */
  readonly letter: string;
  /** Letter of the plan in use, after the arrows. */
  readonly planLetter: string;
  /** Units to look at: those of the plan, or the whole lot. */
  readonly sample: number;
  /** The plan asks for as many units as the lot has, or more: look at all. */
  readonly wholeLot: boolean;
  /** Accept the lot with at most so many bad units. */
  readonly accept: number;
  /** Refuse it from so many on. Between the two (only in reduced inspection) accept this lot, and go back to normal. */
  readonly reject: number;
}

/**
 * Single sampling plan for a lot.
 *
 * Source: ISO 2859-1:1999 and MIL-STD-105E (ANSI/ASQ Z1.4), see `tableCell`. An arrow leads to the first plan in its
 * direction, with the sample size of that plan. Valid for a series of lots from one source: for a lot on its own look
 * at the operating characteristic. Checked: all 1,248 cells of the three tables, and 19 plans by lot.
 *
 * @throws UserError when lot, level or limit cannot be
 */
export function samplingPlan(request: PlanRequest): SamplingPlan {
  checkRequest(request);
  const { lot, level, aql_pct, severity } = request;
  const letter = codeLetter(lot, level);
  const plan = planOfLetter(letter, aql_pct, severity);
  const wholeLot = plan.sample >= lot;
  return { letter, ...plan, sample: wholeLot ? lot : plan.sample, wholeLot };
}

/** The plan of a letter (A to R) and a limit, arrows followed, whatever the lot. */
export function planOfLetter(
  letter: string,
  aql_pct: number,
  severity: Severity,
): Pick<SamplingPlan, 'planLetter' | 'sample' | 'accept' | 'reject'> {
  const column = AQL_pct.indexOf(aql_pct);
  let row = CODE_LETTERS.indexOf(letter);
  if (letter.length !== 1 || column < 0 || row < 0 || row >= letterCount(severity))
    throw new RangeError(`planOfLetter: letter ${letter}, limit ${aql_pct}`);
  let cell = tableCell(severity, row, column);
  const step = cell === 'up' ? -1 : 1;
  while (typeof cell === 'string') {
    row += step;
    // Every arrow of the tables has a plan at its end.
    if (row < 0 || row >= letterCount(severity)) throw new RangeError(`planOfLetter: ${letter} leads nowhere`);
    cell = tableCell(severity, row, column);
  }
  return { planLetter: CODE_LETTERS[row]!, sample: letterSize(row, severity), accept: cell[0], reject: cell[1] };
}

function checkRequest({ lot, level, aql_pct }: PlanRequest): void {
  const problems: Problem[] = [];
  if (!(Number.isInteger(lot) && lot >= 2))
    problems.push({
      code: 'sampling-lot',
      message: `lot is ${lot}: the sampling tables begin at 2 units, in whole numbers; look at a single unit itself.`,
      place: { field: 'lot' },
    });
  if (!INSPECTION_LEVELS.includes(level))
    problems.push({
      code: 'sampling-level',
      message: `level is ${level}: write one of ${INSPECTION_LEVELS.join(', ')}; II is usual.`,
      place: { field: 'level' },
    });
  if (!AQL_pct.includes(aql_pct)) {
    const nearest = AQL_pct.reduce((a, b) => (Math.abs(b - aql_pct) < Math.abs(a - aql_pct) ? b : a));
    problems.push({
      code: 'sampling-aql',
      message: `aql_pct is ${aql_pct}: the tables hold ${AQL_pct.join(', ')}; the nearest is ${nearest}.`,
      place: { field: 'aql_pct' },
    });
  }
  if (problems.length > 0) throw new UserError(problems);
}

/** Verdict on a sample with `bad` units: 'accept but go back' is the gap of reduced inspection. */
export function judgeSample(
  plan: Pick<SamplingPlan, 'accept' | 'reject'>,
  bad: number,
): 'accept' | 'accept-then-normal' | 'refuse' {
  if (bad <= plan.accept) return 'accept';
  return bad < plan.reject ? 'accept-then-normal' : 'refuse';
}

/** What a past lot of the same source was: the severity in force, and its verdict at first inspection. */
export interface LotVerdict {
  readonly severity: Severity;
  readonly verdict: 'accept' | 'accept-then-normal' | 'refuse';
}

/**
 * Severity for the next lot; `stop` when tightened inspection has refused five lots: nothing more until the source has
 * mended.
 */
export interface NextSeverity {
  readonly severity: Severity;
  readonly stop: boolean;
}

/**
 * Switching rules, ISO 2859-1:1999 clause 9.3 (from memory): normal to tightened when two of five or fewer lots in a
 * row are refused; back after five in a row accepted; stop when five lots in one spell of tightened inspection are
 * refused. Reduced inspection is the user's choice and ends with the first lot not plainly accepted.
 *
 * @param lots of one source, oldest first
 */
export function nextSeverity(lots: readonly LotVerdict[]): NextSeverity {
  const last = lots.at(-1);
  if (last === undefined) return { severity: 'normal', stop: false };
  if (last.severity === 'reduced') {
    return { severity: last.verdict === 'accept' ? 'reduced' : 'normal', stop: false };
  }
  let start = lots.length - 1;
  while (start > 0 && lots[start - 1]!.severity === last.severity) start--;
  const spell = lots.slice(start);
  const refused = (some: readonly LotVerdict[]) => some.filter((l) => l.verdict === 'refuse').length;
  if (last.severity === 'tightened') {
    const better = spell.length >= 5 && refused(spell.slice(-5)) === 0;
    return { severity: better ? 'normal' : 'tightened', stop: !better && refused(spell) >= 5 };
  }
  return { severity: refused(spell.slice(-5)) >= 2 ? 'tightened' : 'normal', stop: false };
}
