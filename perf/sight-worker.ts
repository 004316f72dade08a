import { parentPort, workerData } from 'node:worker_threads';
import { type SectorWork, sweepSector } from '../src/core/terrain/index.ts';

// Half of a line-of-sight raster: waits for a turn, sweeps the southern and the western sector, tells that it is done.
export interface SightShare {
  readonly work: SectorWork;
  /** Turn asked for, and turn done. */
  readonly turns: Int32Array;
}

const { work, turns } = workerData as SightShare;
parentPort?.postMessage('ready');
for (let turn = 1; ; turn++) {
  Atomics.wait(turns, 0, turn - 1);
  if (Atomics.load(turns, 0) < 0) break;
  sweepSector(work, true, 1);
  sweepSector(work, false, -1);
  Atomics.store(turns, 1, turn);
  Atomics.notify(turns, 1);
}
