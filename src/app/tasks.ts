import { type CoverageCells, type CoverageSector, coverageSector, putCells } from './coverage-sector.ts';
import { type DesignRows, designRows } from './design-grid.ts';
import { type WhereTask, whereSite } from './where-site.ts';

/** Named pure tasks that a worker can run: plain data in, plain data out. */
const TASKS: Readonly<Record<string, (input: never) => unknown>> = {
  'coverage-sector': (input: CoverageSector) => coverageSector(input),
  'design-rows': (input: DesignRows) => designRows(input),
  'where-site': (input: WhereTask) => whereSite(input),
};

/** Runs one task by name. */
export function runTask(task: string, input: unknown): unknown {
  const work = Object.hasOwn(TASKS, task) ? TASKS[task] : undefined;
  if (work === undefined) throw new RangeError(`runTask: no task is called ${task}`);
  return work(input as never);
}

/** How a task that fills shared memory runs where there is none: what is sent, and what is done here with the answer. */
interface Apart {
  send(input: never): unknown;
  receive(input: never, answer: never): unknown;
}
const APART: Readonly<Record<string, Apart>> = {
  'coverage-sector': {
    send: ({ out: _, ...rest }: CoverageSector) => rest,
    receive: (input: CoverageSector, cells: CoverageCells) => {
      if (input.out !== undefined) putCells(input.out, cells);
      return input.toRadial - input.fromRadial;
    },
  },
};

/** Runs a task over inputs by way of `run`, on machines that share no memory with this one; inputs and results as in `runTasks`. */
export async function runApart(
  task: string,
  inputs: readonly unknown[],
  run: (inputs: readonly unknown[]) => Promise<readonly unknown[]>,
): Promise<unknown[]> {
  const apart = APART[task];
  if (apart === undefined) return [...(await run(inputs))];
  const answers = await run(inputs.map((input) => apart.send(input as never)));
  return answers.map((answer, i) => apart.receive(inputs[i] as never, answer as never));
}
