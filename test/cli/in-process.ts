/** Commands run in this process as the program runs them: for what needs no process of its own. */
import { Command } from 'commander';
import { vi } from 'vitest';

export interface Ran {
  readonly out: string;
  readonly code: number;
}

// biome-ignore lint/suspicious/noExplicitAny: answers of many commands
export type Answer = Record<string, any>;

/** The commands that some registrations make; wrong usage is thrown, and nothing goes to standard error. */
export function inProcess(...registers: readonly ((program: Command) => void)[]) {
  const program = new Command('sunperch');
  for (const register of registers) register(program);
  const strict = (command: Command): void => {
    command.exitOverride().configureOutput({ writeErr: () => {} });
    command.commands.forEach(strict);
  };
  strict(program);
  /** What it prints, and the exit code that an answer sets. One at a time: standard output is listened to meanwhile. */
  const ran = async (args: readonly string[]): Promise<Ran> => {
    let out = '';
    const spy = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
      out += String(text);
      return true;
    });
    const before = process.exitCode;
    process.exitCode = undefined;
    try {
      await program.parseAsync([...args], { from: 'user' });
      return { out, code: Number(process.exitCode ?? 0) };
    } finally {
      spy.mockRestore();
      process.exitCode = before;
    }
  };
  const run = async (...args: string[]): Promise<string> => (await ran(args)).out;
  const json = async (...args: string[]): Promise<Answer> => JSON.parse(await run(...args, '--json'));
  return { program, ran, run, json };
}
