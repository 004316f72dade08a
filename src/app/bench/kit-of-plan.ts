/** The kit that a plan builds, from the workshop. */
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import type { Plan } from '../../records/bench/index.ts';
import { isMapping, type Kit, type RecordSource, readKit } from '../../records/index.ts';
import type { WorkshopStore } from '../store-port.ts';

export interface PlanKit {
  readonly kit: Kit;
  /** The same as it stands there, for reading with other settings. */
  readonly source: RecordSource;
  /** Number of its revision in the workshop. */
  readonly number: number;
  /** The maker's own word for that revision is the plan's too. */
  readonly sameRevision: boolean;
}

/**
 * The newest revision of the kit that calls itself as the plan does; where none does, the newest of all. Undefined where the
 * workshop has no such kit.
 */
export async function kitOfPlan(
  store: Pick<WorkshopStore, 'history'>,
  { kit: key, kitRevision }: Pick<Plan, 'kit' | 'kitRevision'>,
): Promise<PlanKit | undefined> {
  const revisions = (await store.history({ kind: 'kit', key })).filter((r) => r.content !== null);
  const read = ({ content, number }: (typeof revisions)[number]) => ({
    source: parseYamlRecord(content!, `kit ${key}`),
    number,
  });
  const named = (value: unknown) => isMapping(value) && String(value['revision'] ?? '') === kitRevision;
  for (const revision of revisions.toReversed()) {
    const { source, number } = read(revision);
    if (named(source.value)) return { kit: readKit(source).value, source, number, sameRevision: true };
  }
  const last = revisions.at(-1);
  if (last === undefined) return undefined;
  const { source, number } = read(last);
  return { kit: readKit(source).value, source, number, sameRevision: false };
}
