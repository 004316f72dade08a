import type { Ports } from '../../src/app/ports.ts';
import { UserError } from '../../src/core/units/index.ts';
import { readText } from '../../src/host/files.ts';
import { readWeather } from '../../src/host/read-weather.ts';

/** The real disk; no progress; no workers, which none of these use cases need. */
export const PORTS: Ports = {
  readText: (path) => readText(path),
  readWeather: (path) => readWeather(path),
  progress: () => undefined,
  runTasks: () => Promise.reject(new Error('no workers here')),
};

/** The same with one text in place of every file that is read as text. */
export const portsWith = (text: string): Ports => ({ ...PORTS, readText: async () => text });

/** The problems with which the work ends; fails when it does not. */
export async function problemsOf(work: () => unknown): Promise<{ code: string; message: string; field?: string }[]> {
  try {
    await work();
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    return error.problems.map(({ code, message, place }) => ({
      code,
      message,
      ...(place?.field === undefined ? {} : { field: place.field }),
    }));
  }
  throw new Error('no problem was told');
}
