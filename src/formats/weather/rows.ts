import type { Place } from '../../core/units/index.ts';
import { timeText } from './times.ts';

/** Names of the value columns of a series, as they are told. */
export type ValueName = string;

/**
 * The rows of a file as they were read: time on a leap calendar, source line, and one Float32Array a quantity with NaN for
 * missing. Grows by doubling. One step is an hour (`stepsPerDay` 24) or a day (1); a slot counts steps from 1 January of
 * a year with 29 February.
 */
export class SeriesRows {
  length = 0;
  readonly stepsPerDay: 24 | 1;
  year: Int16Array;
  slot: Uint16Array;
  /** Line of the file, or 0 where the format has none. */
  line: Int32Array;
  readonly values: Record<ValueName, Float32Array> = {};
  private readonly names: readonly ValueName[];
  private capacity: number;

  constructor(stepsPerDay: 24 | 1, names: readonly ValueName[], capacity = 366 * stepsPerDay) {
    this.stepsPerDay = stepsPerDay;
    this.names = names;
    this.capacity = capacity;
    this.year = new Int16Array(capacity);
    this.slot = new Uint16Array(capacity);
    this.line = new Int32Array(capacity);
    for (const name of names) this.values[name] = new Float32Array(capacity).fill(Number.NaN);
  }

  /** Adds a row whose values are all missing, and returns its index. */
  append(year: number, slot: number, line: number): number {
    if (this.length === this.capacity) this.grow();
    const i = this.length++;
    this.year[i] = year;
    this.slot[i] = slot;
    this.line[i] = line;
    return i;
  }

  has(name: ValueName): boolean {
    return this.values[name] !== undefined;
  }

  /** Leap-calendar day of row i. */
  leapDay(i: number): number {
    return this.stepsPerDay === 1 ? this.slot[i]! : Math.floor(this.slot[i]! / 24);
  }

  /** `6 May 2003 07:00`, the time of row i. */
  time(i: number, withYear: boolean): string {
    const hour = this.stepsPerDay === 1 ? undefined : this.slot[i]! % 24;
    return timeText(this.leapDay(i), hour, withYear ? this.year[i] : undefined);
  }

  /** `line 47 (6 May 07:00)` where the file has lines, else `6 May 2003 07:00`. */
  where(i: number): string {
    return this.line[i] === 0 ? this.time(i, true) : `line ${this.line[i]} (${this.time(i, false)})`;
  }

  /** The place of row i for a problem. */
  place(i: number, field?: string): Omit<Place, 'file'> {
    const named = field === undefined ? {} : { field };
    return this.line[i] === 0 ? named : { ...named, line: this.line[i]! };
  }

  /** Keeps the rows for which `keep` says so, in order, in place. */
  filter(keep: (i: number) => boolean): void {
    const columns = [this.year, this.slot, this.line, ...Object.values(this.values)];
    let to = 0;
    for (let from = 0; from < this.length; from++) {
      if (!keep(from)) continue;
      if (to !== from) for (const column of columns) column[to] = column[from]!;
      to++;
    }
    this.length = to;
  }

  private grow(): void {
    this.capacity *= 2;
    this.year = grown(this.year, this.capacity);
    this.slot = grown(this.slot, this.capacity);
    this.line = grown(this.line, this.capacity);
    for (const name of this.names) {
      this.values[name] = grown(this.values[name]!, this.capacity).fill(Number.NaN, this.length);
    }
  }
}

function grown<T extends Int16Array | Uint16Array | Int32Array | Float32Array>(old: T, capacity: number): T {
  const bigger = new (old.constructor as new (n: number) => T)(capacity);
  bigger.set(old);
  return bigger;
}
