import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { closeSync, constants, mkdtempSync, openSync, readSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const HOST = fileURLToPath(new URL('warm-host.mjs', import.meta.url));
const LONGEST_ms = 60_000;
const PAUSE_ms = 2;

export interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}
export type Ask = (args: readonly string[], cwd: string) => Ended;

/**
 * A process that has loaded the built program and runs one command line after the other: the same code as for a user, without
 * its start each time. What only a process shows (its end, signals, pipes) is not seen here.
 */
export function startWarm(bundle: string, program: string): Ask {
  const folder = mkdtempSync(join(tmpdir(), 'sunperch-warm-'));
  const [questions, answers] = [join(folder, 'questions'), join(folder, 'answers')];
  execFileSync('mkfifo', [questions, answers]);
  // The reading end first and without waiting: so no end waits for the other.
  const open = (path: string) => {
    const read = openSync(path, constants.O_RDONLY | constants.O_NONBLOCK);
    return { read, write: openSync(path, constants.O_WRONLY) };
  };
  const [asked, answered] = [open(questions), open(answers)];
  rmSync(folder, { recursive: true });
  const child: ChildProcess = spawn(process.execPath, [HOST, bundle, program], {
    stdio: ['ignore', 'ignore', 'inherit', asked.read, answered.write],
  });
  child.unref();
  process.on('exit', () => child.kill());
  closeSync(asked.read);
  closeSync(answered.write);

  const clock = new Int32Array(new SharedArrayBuffer(4));
  const part = Buffer.alloc(1 << 16);
  const answer = (): string => {
    const parts: Buffer[] = [];
    for (const end = Date.now() + LONGEST_ms; ; ) {
      let length = -1;
      try {
        length = readSync(answered.read, part);
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
      }
      if (length === 0) throw new Error('the process of the program ended in the middle of a command');
      if (length > 0) {
        parts.push(Buffer.from(part.subarray(0, length)));
        if (part[length - 1] === 10) return Buffer.concat(parts).toString('utf8');
      } else {
        if (Date.now() > end) {
          child.kill('SIGKILL');
          throw new Error(`no answer within ${LONGEST_ms / 1000} s`);
        }
        Atomics.wait(clock, 0, 0, PAUSE_ms);
      }
    }
  };
  return (args, cwd) => {
    writeSync(asked.write, `${JSON.stringify({ args, cwd, env: process.env })}\n`);
    return JSON.parse(answer()) as Ended;
  };
}
