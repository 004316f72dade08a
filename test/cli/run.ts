import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));

export interface Run {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
  /** Standard output as JSON. */
  json(): Record<string, unknown>;
}

/** Runs the built program as a user does (`npm test` builds it first), with the root of the checkout as working folder. */
export function sunperch(...args: readonly string[]): Run {
  const { status, stdout, stderr, error } = spawnSync(process.execPath, ['bin/sunperch', ...args], {
    cwd: ROOT,
    encoding: 'utf8',
    maxBuffer: 1 << 27,
  });
  if (error) throw error;
  return { code: status, out: stdout, err: stderr, json: () => JSON.parse(stdout) };
}
