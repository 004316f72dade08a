import type * as z from 'zod';
import { type Problem, UserError } from '../../core/units/index.ts';
import { pathText } from '../../records/index.ts';

/** What is wrong with an entry, each with its field. */
export function readContentProblems(content: { readonly kind: string }, error: z.ZodError): UserError {
  const problems = error.issues.map(
    (issue): Problem => ({
      code: issue.code === 'custom' ? String(issue.params?.['code'] ?? 'wrong-entry') : 'wrong-entry',
      message: issue.message,
      place: { field: issue.path.length === 0 ? content.kind : pathText(issue.path as (string | number)[]) },
    }),
  );
  return new UserError(problems);
}
