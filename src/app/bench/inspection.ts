/** Incoming inspection of a lot by attributes: what to look at is drawn and recorded before anybody looks. */
import { createRandom } from '../../core/math/index.ts';
import {
  drawSample,
  type InspectionLevel,
  judgeSample,
  type LotVerdict,
  nextSeverity,
  type Severity,
} from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';
import { streamOf } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { lotIn, partIn } from './find.ts';
import type { BenchState, Inspection } from './state.ts';
import { tablePlan } from './table-plan.ts';

export interface DrawRequest {
  readonly lot: string;
  /** Seed of the draw: chance from outside. */
  readonly seed: number;
  /** In place of the part's own. */
  readonly level?: InspectionLevel | undefined;
  readonly aql_pct?: number | undefined;
  /** In place of what the switching rules give. */
  readonly severity?: Severity | undefined;
}

/** Draws the sample of a lot by the tables of ISO 2859-1; severity by its switching rules over the supplier's lots of this part. */
export function drawInspection(state: BenchState, request: DrawRequest): Deed[] {
  const lot = lotIn(state, request.lot);
  const part = partIn(state, lot.part);
  const level = request.level ?? part.inspection?.level;
  const aql_pct = request.aql_pct ?? part.inspection?.aql_pct;
  if (level === undefined || aql_pct === undefined)
    throw userError(
      'no-inspection-asked',
      `part ${part.key} names no inspection: give a level (II is usual) and an acceptance quality limit in per cent, or save them with the part`,
      { field: 'lot' },
    );
  const open = lot.inspections.at(-1);
  if (open !== undefined && open.found === null)
    throw userError(
      'drawn-already',
      `lot ${lot.key} is drawn already (positions ${open.drawn.join(', ')}): look at these and tell what was found`,
      { field: 'lot' },
    );
  // What is drawn until it passes is no sample.
  if (open?.found != null && open.found.verdict !== 'refused' && lot.quarantined === null)
    throw userError(
      'accepted-already',
      `lot ${lot.key} is accepted already (${open.found.at.slice(0, 10)}): quarantine it with a reason where you doubt it, and draw then`,
      { field: 'lot' },
    );
  const history = severityFor(state, lot.part, lot.supplier);
  const severity = request.severity ?? history.severity;
  if (history.stop && request.severity === undefined)
    throw userError(
      'source-stopped',
      `${lot.supplier} has had five lots of ${part.key} refused in tightened inspection: take no more until the source has mended, or name a severity`,
      { field: 'lot' },
    );
  const plan = tablePlan({ lot: lot.count, level, aql_pct, severity });
  return [
    {
      stream: streamOf('lot', lot.key),
      content: {
        kind: 'inspection-drawn',
        level,
        aql_pct,
        severity,
        lotSize: lot.count,
        letter: plan.letter,
        sample: plan.sample,
        accept: plan.accept,
        reject: plan.reject,
        seed: request.seed,
        drawn: drawSample(createRandom(request.seed), lot.count, plan.sample),
      },
    },
  ];
}

export interface SeverityLook {
  /** How strictly the next lot of the part from this supplier is looked at. */
  readonly severity: Severity;
  /** Nothing more of this source until it has mended. */
  readonly stop: boolean;
  /** Lots of the two with a verdict. */
  readonly lots: number;
  /** Why, in words. */
  readonly why: string;
}

/** Severity for the next lot of a part from a supplier, by the switching rules over their lots so far, first inspections alone. */
export function severityFor(state: BenchState, part: string, supplier: string): SeverityLook {
  const past = [...state.lots.values()]
    .filter((lot) => lot.part === part && lot.supplier === supplier)
    .flatMap((lot) => lot.inspections.slice(0, 1))
    .filter((i): i is Inspection & { found: NonNullable<Inspection['found']> } => i.found !== null)
    // Those of one second stay in the order in which they came.
    .sort((a, b) => (a.found.at < b.found.at ? -1 : a.found.at > b.found.at ? 1 : 0))
    .map(({ severity, found }): LotVerdict => {
      const verdicts = {
        accepted: 'accept',
        'accepted, then normal': 'accept-then-normal',
        refused: 'refuse',
      } as const;
      return { severity, verdict: verdicts[found.verdict] };
    });
  const next = nextSeverity(past);
  return { ...next, lots: past.length, why: `${next.severity}: ${whyOf(past, next)}` };
}

function whyOf(past: readonly LotVerdict[], { severity, stop }: ReturnType<typeof nextSeverity>): string {
  const last = past.at(-1);
  if (last === undefined) return 'no lot of it from this supplier has been judged yet';
  const spell = past.slice(past.findLastIndex((lot) => lot.severity !== last.severity) + 1);
  const recent = spell.slice(-5);
  const refused = recent.filter((lot) => lot.verdict === 'refuse').length;
  const row = spell.length - 1 - spell.findLastIndex((lot) => lot.verdict === 'refuse');
  if (stop) return 'five lots were refused in tightened inspection: take no more until the source has mended';
  if (last.severity !== severity) {
    if (severity === 'tightened') return `${refused} of the last ${recent.length} lots were refused`;
    return last.severity === 'tightened'
      ? 'five lots in a row were accepted in tightened inspection'
      : 'the last lot was not plainly accepted in reduced inspection';
  }
  if (severity === 'tightened') return `${row} of the five accepted lots in a row that lead back to normal`;
  if (severity === 'reduced') return 'chosen before, and every lot since was accepted';
  return refused === 0
    ? recent.length === 1
      ? 'the last lot was accepted'
      : `none of the last ${recent.length} lots was refused`
    : `${recent.length === 1 ? 'the last lot' : `1 of the last ${recent.length} lots`} was refused; a second one within five makes it tightened`;
}

/** What was found among the drawn; the verdict follows from the plan. */
export function tellInspection(
  state: BenchState,
  key: string,
  defective: readonly { readonly position: number; readonly why: string }[],
): Deed[] {
  const lot = lotIn(state, key);
  const open = lot.inspections.at(-1);
  if (open === undefined || open.found !== null)
    throw userError('not-drawn', `lot ${key} has no open draw: draw a sample first`, { field: 'lot' });
  const seen = new Set<number>();
  for (const { position } of defective) {
    if (!open.drawn.includes(position))
      throw userError(
        'not-in-the-sample',
        `position ${position} was not drawn: the sample is ${open.drawn.join(', ')}`,
        { field: 'defective' },
      );
    if (seen.has(position))
      throw userError('position-twice', `position ${position} is told twice`, { field: 'defective' });
    seen.add(position);
  }
  const verdicts = {
    accept: 'accepted',
    'accept-then-normal': 'accepted, then normal',
    refuse: 'refused',
  } as const;
  const verdict = verdicts[judgeSample(open, defective.length)];
  return [{ stream: streamOf('lot', key), content: { kind: 'lot-inspected', defective: [...defective], verdict } }];
}
