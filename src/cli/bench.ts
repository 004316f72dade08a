/** The bench of a workshop for the commands that work on it: opened, acted on as one person, closed. */
import { userInfo } from 'node:os';
import type { Command } from 'commander';
import type { Bench, Deed, Signed } from '../app/bench/act.ts';
import type { BenchState } from '../app/bench/state.ts';
import type { WorkshopStore } from '../app/store-port.ts';
import type { WorkshopPorts } from '../app/workshop-save.ts';
import type { Entry } from '../records/bench/index.ts';
import { withJson } from './options.ts';
import { type WorkshopOptions, withWorkshop } from './workshop.ts';

export interface BenchOptions extends WorkshopOptions {
  readonly by?: string;
  readonly token?: string;
}

export interface OpenBench extends Bench {
  readonly workshop: WorkshopStore;
  readonly ports: WorkshopPorts;
  /** In the name of `--by`, now. */
  signed(): Signed;
  /** Does something in the name of `--by`. */
  act(decide: (state: BenchState) => readonly Deed[]): Promise<readonly Entry[]>;
}

/** Opens the workshop and its bench, runs `work` and closes it whatever happens. */
export async function withBench<T>(options: BenchOptions, work: (bench: OpenBench) => Promise<T>): Promise<T> {
  const { act, openBench } = await import('../app/bench/act.ts');
  return withWorkshop(options, async (workshop, ports) => {
    const bench = await openBench(workshop.bench);
    const signed = (): Signed => ({ by: options.by ?? account(), at: ports.now(), token: options.token });
    return work({ ...bench, workshop, ports, signed, act: (decide) => act(bench, signed(), decide) });
  });
}

/** Name of the account, in place of `--by`. */
function account(): string {
  try {
    return userInfo().username || 'somebody';
  } catch {
    return 'somebody';
  }
}

/** Makes a command of a group that works on the bench. */
export function benchCommand(group: Command, usage: string, text: string): Command {
  return withJson(
    group.command(usage).description(text).option('--workshop <file>', 'file or postgres:// address of the workshop'),
  );
}

/** The same for a command that writes: who does it. */
export function deedCommand(group: Command, usage: string, text: string): Command {
  return benchCommand(group, usage, text)
    .option('--by <name>', 'who does it (default: the name of your account)')
    .option('--token <text>', 'a mark of your own: what is sent again with the same mark is done once');
}
