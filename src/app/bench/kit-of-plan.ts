/** The kit that a plan builds, from the workshop. */

import type { Setting } from '../../formats/setting.ts';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import { type Plan, variantOf } from '../../records/bench/index.ts';
import { isMapping, type Kit, type RecordSource, readKit } from '../../records/index.ts';
import type { WorkshopStore } from '../store-port.ts';
import { variantSettings } from './variant-kit.ts';

export interface PlanKit {
  /** With what the variant of the region says of radio and antenna. */
  readonly kit: Kit;
  /** The kit's file as it stands in the workshop, for reading with other settings; those of the variant come before them. */
  readonly source: RecordSource;
  readonly set: readonly Setting[];
  /** Number of its revision in the workshop. */
  readonly number: number;
  /** The maker's own word for that revision is the plan's too. */
  readonly sameRevision: boolean;
  /** What the variant changed, in sentences. */
  readonly notes: readonly string[];
}

/**
 * The newest revision of the kit that calls itself as the plan does; where none does, the newest of all. Undefined where the
 * workshop has no such kit. With a region, radio and antenna are those of the plan's variant for it.
 */
export async function kitOfPlan(
  store: Pick<WorkshopStore, 'history'>,
  plan: Pick<Plan, 'kit' | 'kitRevision'> & Partial<Pick<Plan, 'variants'>>,
  region?: string,
): Promise<PlanKit | undefined> {
  const { kit: key, kitRevision, variants = [] } = plan;
  const revisions = (await store.history({ kind: 'kit', key })).filter((r) => r.content !== null);
  const sourceOf = ({ content }: (typeof revisions)[number]) => parseYamlRecord(content!, `kit ${key}`);
  const named = (value: unknown) => isMapping(value) && String(value['revision'] ?? '') === kitRevision;
  const same = revisions.findLast((revision) => named(sourceOf(revision).value));
  const taken = same ?? revisions.at(-1);
  if (taken === undefined) return undefined;
  const source = sourceOf(taken);
  const bare = readKit(source).value;
  const variant = region === undefined ? undefined : variantOf({ variants }, region);
  const { settings, notes } = variant === undefined ? { settings: [], notes: [] } : variantSettings(bare, variant);
  return {
    kit: settings.length === 0 ? bare : readKit(source, { set: settings }).value,
    source,
    set: settings,
    number: taken.number,
    sameRevision: same !== undefined,
    notes,
  };
}
