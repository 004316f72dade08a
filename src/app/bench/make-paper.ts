/** A paper of the bench, with the kits that it needs looked up in the workshop. */
import type { PaperRequest, Plan } from '../../records/bench/index.ts';
import type { WorkshopStore } from '../store-port.ts';
import { kitOfPlan, type PlanKit } from './kit-of-plan.ts';
import { type PaperOutcome, paperOf, plansOf } from './papers-of.ts';
import type { BenchState } from './state.ts';

/** @param day of the paper, ISO 8601 */
export async function makePaper(
  store: Pick<WorkshopStore, 'history'>,
  state: BenchState,
  request: PaperRequest,
  day: string,
): Promise<PaperOutcome> {
  const kits = new Map<Plan, PlanKit | undefined>();
  for (const [plan, region] of plansOf(state, request)) kits.set(plan, await kitOfPlan(store, plan, region));
  return paperOf(state, request, { kitOf: (plan) => kits.get(plan), day });
}
