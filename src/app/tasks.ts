/** Named pure tasks that a worker can run: plain data in, plain data out. */
const TASKS: Record<string, (input: never) => unknown> = {};

/** Runs one task by name. */
export function runTask(task: string, input: unknown): unknown {
  const work = TASKS[task];
  if (work === undefined) throw new RangeError(`runTask: no task is called ${task}`);
  return work(input as never);
}
