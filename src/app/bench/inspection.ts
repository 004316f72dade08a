/** Incoming inspection of a lot by attributes: what to look at is drawn and recorded before anybody looks. */
import { createRandom } from '../../core/math/index.ts';
import {
  drawSample,
  type InspectionLevel,
  judgeSample,
  type LotVerdict,
  nextSeverity,
  type Severity,
  samplingPlan,
} from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';
import { streamOf } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { lotIn, partIn } from './find.ts';
import type { BenchState, Inspection } from './state.ts';

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
  const history = severityFor(state, lot.part, lot.supplier);
  const severity = request.severity ?? history.severity;
  if (history.stop && request.severity === undefined)
    throw userError(
      'source-stopped',
      `${lot.supplier} has had five lots of ${part.key} refused in tightened inspection: take no more until the source has mended, or name a severity`,
      { field: 'lot' },
    );
  const plan = samplingPlan({ lot: lot.count, level, aql_pct, severity });
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

/** Severity for the next lot of a part from a supplier. */
export function severityFor(
  state: BenchState,
  part: string,
  supplier: string,
): { readonly severity: Severity; readonly stop: boolean } {
  const past = [...state.lots.values()]
    .filter((lot) => lot.part === part && lot.supplier === supplier)
    .flatMap((lot) => lot.inspections.slice(0, 1))
    .filter((i): i is Inspection & { found: NonNullable<Inspection['found']> } => i.found !== null)
    .sort((a, b) => (a.found.at < b.found.at ? -1 : 1));
  return nextSeverity(
    past.map(({ severity, found }): LotVerdict => {
      const verdicts = {
        accepted: 'accept',
        'accepted, then normal': 'accept-then-normal',
        refused: 'refuse',
      } as const;
      return { severity, verdict: verdicts[found.verdict] };
    }),
  );
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
