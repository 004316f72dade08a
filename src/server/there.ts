/** 404 where what is named at the bench is not there. */
import type { Context } from 'hono';
import { UserError } from '../core/units/index.ts';
import { problemAnswer } from './problems.ts';

/** Answers what the work answers; 404 where a unit, lot, batch, plan or order that it names is not there. */
export async function there<T>(c: Context, work: () => T | Promise<T>): Promise<T | Response> {
  try {
    return await work();
  } catch (error) {
    const absent =
      error instanceof UserError &&
      error.problems.every((p) => /^(no-such-|mistyped-serial)/.test(p.code) && p.code !== 'no-such-variant');
    if (absent) return problemAnswer(c, 404, error.problems);
    throw error;
  }
}
