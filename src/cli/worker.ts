import { parentPort } from 'node:worker_threads';
import { runTask } from '../app/tasks.ts';
import { UserError } from '../core/units/index.ts';
import type { TaskAnswer, TaskMessage } from '../host/pool.ts';

// Entry of a worker thread: runs named tasks until it is ended.
parentPort?.on('message', ({ id, task, input }: TaskMessage) => {
  let answer: TaskAnswer;
  try {
    answer = { id, result: runTask(task, input) };
  } catch (error) {
    answer =
      error instanceof UserError
        ? { id, problems: error.problems }
        : { id, fault: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
  parentPort?.postMessage(answer);
});
