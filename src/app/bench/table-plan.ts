/** The plan of the tables for a lot of any size, and how its letters are told. */
import { type SamplingPlan, type Severity, samplingPlan } from '../../core/quality/index.ts';

export type TableRequest = Parameters<typeof samplingPlan>[0];

/** By ISO 2859-1. The tables begin at two units: a single one is looked at itself. */
export function tablePlan(request: TableRequest): SamplingPlan {
  if (request.lot !== 1) return samplingPlan(request);
  return { ...samplingPlan({ ...request, lot: 2 }), sample: 1, wholeLot: true };
}

/** "letter D, plan of letter C, normal": an arrow of the table leads to another letter, and its sample size goes with it. */
export const lettersText = (plan: {
  readonly letter: string;
  readonly planLetter: string;
  readonly severity: Severity;
}): string =>
  `letter ${plan.letter}${plan.planLetter === plan.letter ? '' : `, plan of letter ${plan.planLetter}`}, ${plan.severity}`;

/** The same of a draw that was recorded with its level, limit and severity. */
export const lettersOfDraw = ({
  lotSize,
  ...drawn
}: Omit<TableRequest, 'lot'> & { readonly lotSize: number }): string =>
  lettersText({ ...tablePlan({ ...drawn, lot: lotSize }), severity: drawn.severity ?? 'normal' });
