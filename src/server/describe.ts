/** Short forms for the description of routes. */
import type { z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { problemAnswer } from './schemas.ts';

export const json = <S extends z.ZodType>(schema: S, description: string) => ({
  description,
  content: { 'application/json': { schema } },
});
export const body = <S extends z.ZodType>(schema: S) => ({
  required: true,
  content: { 'application/json': { schema } },
});

const PROBLEMS = {
  400: 'The request is not understood',
  401: 'Not logged in, or the wrong passphrase',
  403: 'From a foreign page, or under a foreign name',
  404: 'There is no such thing',
  413: 'Too large',
  415: 'The body is no JSON',
  422: 'Understood, but wrong: all problems at once',
  429: 'Too many tries',
  503: 'Too busy, or the database does not answer',
} as const;

type ProblemStatus = keyof typeof PROBLEMS;
/** What every route may answer. */
const ALWAYS: readonly ProblemStatus[] = [400, 401, 403, 503];

/** The answers of a route that are problems. */
export function problems(...more: readonly ProblemStatus[]) {
  return Object.fromEntries(
    [...ALWAYS, ...more].map((status) => [status, json(problemAnswer, PROBLEMS[status])]),
  ) as Record<ProblemStatus, ReturnType<typeof json<typeof problemAnswer>>>;
}

/**
 * Answers with a value whose type is one of `api.ts`. That it also fits the route's schema is held by the tests, which check
 * every answer against the served OpenAPI document; the router's own type of an answer is given up here.
 */
export function answer<T extends object>(c: Context, value: T, status: 200 | 201 | 202 | 409 = 200): never {
  return c.json(value, status) as never;
}
