import { run, type Told } from './built.ts';

/** Runs the built program (`npm test` builds it first), with the root of the checkout as working folder. */
export function sunperch(...args: readonly string[]): Told {
  const ended = run(args);
  return { ...ended, json: () => JSON.parse(ended.out) as Record<string, unknown> };
}
