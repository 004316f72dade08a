import type { DailyFile, WeatherFile } from '../formats/weather/types.ts';

/** One line of progress: `done` of `total` steps of something over a second long. */
export type Progress = (done: number, total: number, what: string) => void;

/** A text, or bytes that are fetched when their turn comes: all together may be large. */
export type FileContent = string | (() => Promise<Uint8Array>);

/** What the use cases need from outside; real ones are wired in the command line, others in tests and the browser. */
export interface Ports {
  /** The text of a file; UserError in a sentence when it cannot be read. */
  readText(path: string): Promise<string>;
  /** A weather file of any known format, streamed. */
  readWeather(path: string): Promise<WeatherFile | DailyFile>;
  readonly progress: Progress;
  /** Runs a named task of `app/tasks.ts` over many inputs, on as many cores as pay; results in order of the inputs. */
  runTasks(task: string, inputs: readonly unknown[], what: string): Promise<unknown[]>;
}
