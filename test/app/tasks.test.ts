import { describe, expect, it } from 'vitest';
import { reach } from '../../src/app/reach.ts';
import { runApart, runTask } from '../../src/app/tasks.ts';
import { osselHeight_m } from '../../src/core/terrain/index.ts';
import { bytesOf, createKeeper, fromText, toText } from '../../src/store/queue/values.ts';
import { portsOf, terrainOf } from './flat-terrain.ts';

/** A machine that shares no memory with this one: what comes and goes is text and bytes. */
function elsewhere(task: string) {
  const over = (value: unknown) => {
    const { arrays, keep } = createKeeper();
    const text = toText(value, keep);
    return fromText(text, (number) => Uint8Array.from(bytesOf(arrays[number]!)));
  };
  return async (inputs: readonly unknown[]) => inputs.map((input) => over(runTask(task, over(input))));
}

describe('a task that fills shared memory', () => {
  it('gives the same coverage where there is none, bit for bit, sector by sector in any order', async () => {
    // With a hole, behind which nothing is known.
    const ground = terrainOf((lat, lon) =>
      Math.hypot(lat - 46.43, lon - 10.22) < 0.004 ? Number.NaN : osselHeight_m(lat, lon, 1),
    );
    const request = { perch: '46.425,10.195,5', kit: 'examples/alder-3.yaml', radius_km: 5 };
    const here = await reach(portsOf(), request, ground);
    let sectors = 0;
    const apart = await reach(
      {
        ...portsOf(),
        runTasks: async (task, inputs) => {
          sectors = inputs.length;
          const backwards = await runApart(task, [...inputs].reverse(), elsewhere(task));
          return backwards.reverse();
        },
      },
      request,
      ground,
    );
    expect(sectors).toBeGreaterThan(10);
    for (const raster of ['margin_dB', 'sight'] as const)
      expect(Buffer.compare(bytesOf(apart.field[raster]), bytesOf(here.field[raster]))).toBe(0);
    expect(here.outcome.share.unknown).toBeGreaterThan(0);
    expect(apart.outcome).toEqual(here.outcome);
  });
});
