/** From what went wrong to an answer: the user's problems in full, our own faults in one sentence and a number. */
import { randomBytes } from 'node:crypto';
import type { Context } from 'hono';
import { HTTPException } from 'hono/http-exception';
import { type Problem, UserError } from '../core/units/index.ts';
import type { ProblemAnswer } from './api.ts';

type Status = 400 | 401 | 403 | 404 | 405 | 409 | 413 | 415 | 422 | 429 | 500 | 503;

/** An answer other than success, decided deep inside. */
export class Refusal extends Error {
  readonly status: Status;
  readonly problem: Problem;
  readonly retryAfter_s: number | undefined;
  constructor(status: Status, code: string, message: string, retryAfter_s?: number) {
    super(message);
    this.name = 'Refusal';
    this.status = status;
    this.problem = { code, message };
    this.retryAfter_s = retryAfter_s;
  }
}

export function problemAnswer(c: Context, status: Status, problems: readonly Problem[]): Response {
  return c.json({ problems } satisfies ProblemAnswer, status);
}

/** Problems of the store that are no fault of the one who asked. */
const OURS = /^(workshop-(busy|read-only|unopenable|damaged)|disk-|database-|no-database)/;

/** The one catch of the server. `log` gets what the user is not shown; one line each, whatever is in it. */
export function answerError(log: (line: string) => void): (error: unknown, c: Context) => Response {
  return (error, c) => {
    if (error instanceof Refusal) {
      if (error.retryAfter_s !== undefined) c.header('retry-after', String(error.retryAfter_s));
      return problemAnswer(c, error.status, [error.problem]);
    }
    if (error instanceof UserError) {
      const ours = error.problems.some(({ code }) => OURS.test(code));
      return problemAnswer(c, ours ? 503 : 422, error.problems);
    }
    if (error instanceof HTTPException && error.status < 500)
      return problemAnswer(c, 400, [
        { code: 'bad-request', message: `the request is not understood: ${error.message}` },
      ]);
    const reference = randomBytes(4).toString('hex');
    const detail = error instanceof Error ? (error.stack ?? error.message) : String(error);
    log(oneLine(`fault ${reference}: ${c.req.method} ${c.req.path}: ${detail}`));
    const message = `something went wrong in the server, not in what you sent; its log tells more under ${reference}`;
    return problemAnswer(c, 500, [{ code: 'unexpected', message }]);
  };
}

/** No line break and no control character of a request reaches the log as such (ASVS V16.4.1). */
export function oneLine(text: string): string {
  const shown = text.replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]/g, (sign) =>
    sign === '\n' ? ' | ' : `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
  return shown.length > 4000 ? `${shown.slice(0, 4000)}…` : shown;
}
