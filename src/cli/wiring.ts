import type { Ports } from '../app/ports.ts';
import { terminalProgress } from './progress.ts';

export interface PortOptions {
  /** Tasks run on other machines, through the queue of SUNPERCH_DATABASE. */
  readonly spread?: boolean | undefined;
}

/** The real outside for one command: disk, workers, progress on the terminal. Modules are loaded when first needed. */
export function realPorts(options: PortOptions = {}): { ports: Ports; close: () => void } {
  const progress = terminalProgress(process.stderr, () => performance.now());
  const ports: Ports = {
    readText: async (path) => (await import('../host/files.ts')).readText(path),
    readWeather: async (path) => (await import('../host/read-weather.ts')).readWeather(path),
    progress: progress.report,
    runTasks: async (task, inputs, what) => {
      const report = (done: number, total: number) => progress.report(done, total, what);
      if (options.spread) {
        const { runSpread } = await import('./spread.ts');
        return runSpread(task, inputs, report, (sentence) => {
          progress.done();
          process.stderr.write(`${sentence}\n`);
        });
      }
      const { runInWorkers } = await import('../host/pool.ts');
      return runInWorkers(new URL('./worker.mjs', import.meta.url), task, inputs, report);
    },
  };
  return { ports, close: progress.done };
}

/** Runs `work` with the real outside and takes the progress line away whatever happens. */
export const withPorts = <T>(work: (ports: Ports) => Promise<T>): Promise<T> => withPortsOf({}, work);

/** The same for a command that may spread its tasks. */
export async function withPortsOf<T>(options: PortOptions, work: (ports: Ports) => Promise<T>): Promise<T> {
  const { ports, close } = realPorts(options);
  try {
    return await work(ports);
  } finally {
    close();
  }
}

/** What every report page takes besides its data: the fonts that stand beside the bundle. */
export async function pageFonts(): Promise<{ fonts?: { regular: string; bold: string; mono: string } }> {
  const { readFonts } = await import('../host/files.ts');
  const fonts = await readFonts(new URL('./fonts/', import.meta.url));
  return fonts ? { fonts } : {};
}
