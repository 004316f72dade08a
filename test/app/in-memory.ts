import { fileURLToPath } from 'node:url';
import { type Inputs, readInputs } from '../../src/app/inputs.ts';
import type { Ports } from '../../src/app/ports.ts';
import { runTask } from '../../src/app/tasks.ts';
import { readWeather } from '../../src/host/read-weather.ts';

/** Kit and perch given as texts; weather files are read from the disk. */
export const portsOf = (kit: string, perch: string): Ports => ({
  readText: async (path) => (path === 'kit.yaml' ? kit : perch),
  readWeather: (path) => readWeather(path),
  progress: () => undefined,
  runTasks: () => Promise.reject(new Error('no workers here')),
});

/** The same read, checked and resolved, as the commands read them. */
export const inputsOf = (kit: string, perch: string, set: readonly string[] = [], weather?: string): Promise<Inputs> =>
  readInputs(portsOf(kit, perch), { kit: 'kit.yaml', perch: 'perch.yaml', set, weather });

/** A path in the checkout. */
export const inCheckout = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));

/** The same with the tasks of the workers run here, one after another. */
export const portsWithTasks = (kit: string, perch: string): Ports => ({
  ...portsOf(kit, perch),
  runTasks: async (task, inputs) => inputs.map((input) => runTask(task, input)),
});
