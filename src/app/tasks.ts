import { type CoverageSector, coverageSector } from './coverage-sector.ts';
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
  const work = TASKS[task];
  if (work === undefined) throw new RangeError(`runTask: no task is called ${task}`);
  return work(input as never);
}
