import { Command, CommanderError } from 'commander';
import { formatProblem, UserError } from '../core/units/index.ts';
import { registerAll } from './commands/index.ts';
import { sayJson } from './print.ts';
import { VERSION } from './version.ts';

/** Exit codes: done, the input is wrong, the command line is wrong. */
const DONE = 0;
const WRONG_INPUT = 1;
const WRONG_USAGE = 2;

function program(): Command {
  const command = new Command('sunperch')
    .description('Will a solar-powered radio node stay up all winter, and what would make it hold?')
    .version(VERSION, '-V, --version', 'print the version')
    .showHelpAfterError('(--help tells more)')
    .exitOverride()
    .configureOutput({ outputError: (text, write) => write(text) });
  registerAll(command);
  return command;
}

/** A position south of the equator, `-44.3,168.9`, is no option: a space before it says so, and every reader of numbers drops it. */
const asArgument = (text: string) => (/^-\d+(\.\d+)?,/.test(text) ? ` ${text}` : text);

/** Runs the command line; returns the exit code. The one catch of the program. */
export async function main(argv: readonly string[]): Promise<number> {
  try {
    await program().parseAsync(argv.map(asArgument));
    // A command that answers may still say no by its exit code.
    return Number(process.exitCode ?? DONE);
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? DONE : WRONG_USAGE;
    if (error instanceof UserError) {
      for (const problem of error.problems) process.stderr.write(`${formatProblem(problem)}\n`);
      if (argv.includes('--json')) sayJson({ problems: error.problems });
      return WRONG_INPUT;
    }
    const text = error instanceof Error ? error.message : String(error);
    process.stderr.write(
      `Unexpected: ${text}\nThis is a fault of sunperch, not of your input. SUNPERCH_DEBUG=1 shows more.\n`,
    );
    if (process.env['SUNPERCH_DEBUG']) process.stderr.write(`${error instanceof Error ? error.stack : ''}\n`);
    return WRONG_INPUT;
  }
}

// A reader that stops early (`| head`) is no error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(DONE);
  throw error;
});
process.exitCode = await main(process.argv);
