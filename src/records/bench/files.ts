/** Files that the bench reads: a build plan, and parts. */
import * as z from 'zod';
import { crossChecks } from '../fields.ts';
import { type RecordSource, readFields } from '../read.ts';
import type { ContentOf } from './entry.ts';
import { type Plan, planFields, planFindings } from './plan.ts';
import { partFields } from './stores.ts';
import { key } from './words.ts';

const planFile = planFields
  .omit({ kind: true })
  .extend({ $schema: z.string().optional() })
  .check(crossChecks(planFindings));

/**
 * A build plan from its parsed file.
 *
 * @throws UserError with every problem of the file, each with file, line, column and field
 */
export function readPlan(source: RecordSource): Omit<Plan, 'kind'> {
  const { $schema: _, ...plan } = readFields(source, 'plan', planFile, planFindings);
  return plan;
}

const partsFile = z.strictObject({
  $schema: z.string().optional(),
  parts: z
    .array(partFields.omit({ kind: true }).extend({ key: key('part') }))
    .min(1, { error: 'the file names no part' })
    .max(5000),
});

export type PartInFile = Omit<ContentOf<'part-saved'>, 'kind'> & { readonly key: string };

/** Parts from their parsed file: `parts:` with a list, each with its key. */
export function readParts(source: RecordSource): readonly PartInFile[] {
  return readFields(source, 'stores', partsFile).parts;
}
