import { type Command, InvalidArgumentError } from 'commander';

/** A number on the command line; anything that is not one is a usage error. */
export function number(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value)) throw new InvalidArgumentError(`'${text}' is not a number.`);
  return value;
}

/** A whole number from `least`. */
export function whole(least: number): (text: string) => number {
  return (text) => {
    const value = number(text);
    if (!Number.isInteger(value) || value < least)
      throw new InvalidArgumentError(`'${text}' is not a whole number from ${least}.`);
    return value;
  };
}

/** Comma-separated numbers, `count` of them. */
export function numbers(count: number): (text: string) => number[] {
  return (text) => {
    const list = text.split(',').map((part) => number(part.trim()));
    if (list.length !== count)
      throw new InvalidArgumentError(`${list.length} values found; ${count} are wanted, separated by commas.`);
    return list;
  };
}

/** Gathers a repeated option into a list. */
export function gather(text: string, before: readonly string[] | undefined): string[] {
  return [...(before ?? []), text];
}

/** Adds the option that every command has. */
export function withJson(command: Command): Command {
  return command.option('--json', 'print the result as JSON (names as documented in docs/json.md)');
}

/** Adds the option that sends the work to other machines. */
export function withSpread(command: Command): Command {
  return command.option(
    '--spread',
    'compute on other machines: all that run `sunperch work` with the same SUNPERCH_DATABASE (PostgreSQL)',
  );
}

/** Adds an example below the help text of a command. */
export function withExample(command: Command, ...lines: string[]): Command {
  return command.addHelpText('after', `\nExample:\n${lines.map((line) => `  $ ${line}`).join('\n')}\n`);
}
