import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { readKitFile, readPerchFile } from '../src/app/inputs.ts';
import { nodeOf } from '../src/app/node-of.ts';
import type { Ports } from '../src/app/ports.ts';
import { makeWeather, planSite } from '../src/app/site.ts';
import { size } from '../src/app/size.ts';
import { makeSupply } from '../src/app/supply.ts';
import { BUCKET, freshState, newTally, runBalance, runBucket, TALLY } from '../src/core/energy/index.ts';
import { buildNode } from '../src/core/energy/node.ts';
import { readText } from '../src/host/files.ts';
import { runInWorkers } from '../src/host/pool.ts';
import { readWeather } from '../src/host/read-weather.ts';
import type { BenchRow } from './rows.ts';
import { medianOf } from './rows.ts';

const root = new URL('..', import.meta.url).pathname;

/** Runs the built command line as its own process: seconds of wall clock and the most memory it held. */
async function wholeProcess(args: readonly string[]): Promise<{ seconds: number; peak_MB: number }> {
  const begin = performance.now();
  const child = spawn(process.execPath, [`${root}bin/sunperch`, ...args], { stdio: 'ignore' });
  let peak_kB = 0;
  const watch = setInterval(() => {
    try {
      const line = /VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'));
      if (line) peak_kB = Math.max(peak_kB, Number(line[1]));
    } catch {
      // Not Linux, or gone already.
    }
  }, 10);
  await new Promise((resolve) => child.on('close', resolve));
  clearInterval(watch);
  return { seconds: (performance.now() - begin) / 1000, peak_MB: peak_kB / 1024 };
}

/** The kernels on known light, the design map, and the `year` command as a whole process. */
export async function benchEnergy(): Promise<BenchRow[]> {
  const ports: Ports = {
    readText,
    readWeather,
    progress: () => undefined,
    runTasks: (task, inputs) =>
      runInWorkers(new URL('../dist/worker.mjs', import.meta.url), task, inputs, () => undefined),
  };
  const { kit } = await readKitFile(ports, `${root}examples/alder-3.yaml`);
  const { perch } = await readPerchFile(ports, `${root}examples/hut-kaldra.yaml`);
  const plan = planSite(perch);
  const site = makeWeather(plan, perch, 1, 20);
  const supply = makeSupply(kit, perch, plan, site);
  const n = supply.hours.length;
  const model = buildNode(nodeOf(kit));
  const perWatt_W = Float32Array.from({ length: n }, (_, i) => supply.hours.available_W[i * supply.hours.nodes]! / 3.2);
  const blocked = Uint8Array.from(supply.hours.cell_degC, (t) => (t < 0 ? 1 : 0));
  const out = new Float64Array(BUCKET.size);
  const design = () => {
    out[BUCKET.energy_Wh] = 33;
    out[BUCKET.on] = 1;
    // By months, as the commands call it.
    for (let i = 0; i < n; i += 730)
      runBucket(
        {
          ceiling_Wh: 33,
          cutoff_Wh: 4,
          reconnect_Wh: 9,
          load_W: 0.035,
          chargeShare: 0.99,
          selfDischarge_per_h: 3e-5,
          powerPath: true,
        },
        perWatt_W,
        blocked,
        3.2,
        i,
        Math.min(n, i + 730),
        out,
      );
  };
  const full = () => {
    const state = freshState(model);
    const tally = newTally();
    for (let i = 0; i < n; i += 730) runBalance(model, supply.hours, i, Math.min(n, i + 730), state, tally);
    if (tally[TALLY.hours] !== n) throw new Error('the run lost hours');
  };
  design();
  full();
  const design_ns = (medianOf(9, design) * 1e6) / n;
  const full_ns = (medianOf(9, full) * 1e6) / n;
  let tiltDone = performance.now();
  const timed: Ports = {
    ...ports,
    runTasks: (task, inputs, what) => {
      tiltDone = performance.now();
      return ports.runTasks(task, inputs, what);
    },
  };
  const sized = await size(timed, {
    perch: `${root}examples/hut-kaldra.yaml`,
    kit: `${root}examples/alder-3.yaml`,
    years: 100,
  });
  const designs = sized.map.panel_W.length * sized.map.cells.length;
  const size_s = (performance.now() - tiltDone) / 1000;
  const year = await wholeProcess([
    'year',
    `${root}examples/alder-3.yaml`,
    `${root}examples/hut-kaldra.yaml`,
    '--years',
    '200',
    '--json',
  ]);
  const help = await wholeProcess(['--help']);
  return [
    {
      name: '20-year design run, light known',
      value: design_ns,
      unit: 'ns/hour',
      ratio: 15 / design_ns,
      against: 'inside the 15 ns/hour asked for',
    },
    {
      name: '20-year full run, light known',
      value: full_ns,
      unit: 'ns/hour',
      ratio: full_ns / design_ns,
      against: 'of the design run',
    },
    {
      name: `size: ${designs} designs x ${sized.years} years after the tilt`,
      value: size_s,
      unit: 's',
      ratio: 5 / size_s,
      against: 'inside the 5 s asked for',
    },
    {
      name: 'year --years 200, whole process',
      value: year.seconds,
      unit: 's',
      ratio: 2 / year.seconds,
      against: 'inside the 2 s asked for',
    },
    {
      name: 'year --years 200, peak memory',
      value: year.peak_MB,
      unit: 'MB',
      ratio: 250 / Math.max(1, year.peak_MB),
      against: 'inside the 250 MB asked for',
    },
    {
      name: '--help, whole process',
      value: help.seconds,
      unit: 's',
      ratio: 0.3 / help.seconds,
      against: 'inside the 0.3 s asked for',
    },
  ];
}
