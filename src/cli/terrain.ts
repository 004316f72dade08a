import { parentPort, workerData } from 'node:worker_threads';
import { runTask } from '../app/tasks.ts';
import { createTerrainDesk, type TerrainDesk } from '../app/terrain-desk.ts';
import { UserError } from '../core/units/index.ts';
import type { Call, CallAnswer } from '../host/call-thread.ts';
import { identityOf, openPlace } from './terrain-open.ts';
import type { TerrainPlace } from './terrain-place.ts';

// Entry of the thread that holds a server's terrain: answers one question after the other.
const place = workerData as TerrainPlace;
const desk = createTerrainDesk(
  { open: () => openPlace(place), identity: () => identityOf(place), now_ms: () => performance.now() },
  {
    progress: () => undefined,
    // What is quick is computed here: threads would take longer to start.
    runTasks: async (task, inputs) => inputs.map((input) => runTask(task, input)),
  },
);

const waiting: Exclude<Call, { cancel: number }>[] = [];
let busy = false;

parentPort?.on('message', (call: Call) => {
  if ('cancel' in call) {
    const at = waiting.findIndex(({ id }) => id === call.cancel);
    if (at >= 0) waiting.splice(at, 1);
    return;
  }
  waiting.push(call);
  if (!busy) void work();
});

async function work(): Promise<void> {
  busy = true;
  for (let call = waiting.shift(); call !== undefined; call = waiting.shift()) {
    let answer: CallAnswer;
    try {
      answer = { id: call.id, result: await ask(call.what as keyof TerrainDesk, call.input as readonly unknown[]) };
    } catch (error) {
      answer =
        error instanceof UserError
          ? { id: call.id, problems: error.problems }
          : { id: call.id, fault: error instanceof Error ? (error.stack ?? error.message) : String(error) };
    }
    parentPort?.postMessage(answer);
    // What was given up meanwhile is heard of before the next one begins.
    await new Promise<void>((resolve) => setImmediate(resolve));
  }
  busy = false;
}

function ask(what: keyof TerrainDesk, input: readonly unknown[]): Promise<unknown> {
  return (desk[what] as (...values: readonly unknown[]) => Promise<unknown>)(...input);
}
