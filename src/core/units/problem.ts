/** Where in the user's input a problem stands. Lines and columns count from 1. */
export interface Place {
  readonly file?: string;
  readonly line?: number;
  readonly column?: number;
  /** Dotted path of the field, e.g. `kit.panel.tilt_deg`. */
  readonly field?: string;
}

/** One thing wrong with the user's input: a stable code and a sentence with what was found, why it is wrong and the mend. */
export interface Problem {
  readonly code: string;
  readonly message: string;
  readonly place?: Place;
}

/** The one error class for what the user can mend. Carries all problems found at once; anything else thrown is unexpected. */
export class UserError extends Error {
  readonly problems: readonly Problem[];
  constructor(problems: readonly Problem[] | Problem) {
    const list = Array.isArray(problems) ? (problems as readonly Problem[]) : [problems as Problem];
    super(list.map((p) => p.message).join('\n'));
    this.name = 'UserError';
    this.problems = list;
  }
}

/** Shorthand for a single problem. */
export function userError(code: string, message: string, place?: Place): UserError {
  return new UserError(place ? { code, message, place } : { code, message });
}

/** `file:line:column: field: message [code]`, the form in which the command line prints a problem. */
export function formatProblem(problem: Problem): string {
  const { file, line, column, field } = problem.place ?? {};
  const at = [file, line, column].filter((part) => part !== undefined).join(':');
  const head = [at, field].filter((part) => part !== undefined && part !== '').join(': ');
  return `${head === '' ? '' : `${head}: `}${problem.message} [${problem.code}]`;
}
