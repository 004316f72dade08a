import { type Place, type Problem, UserError } from '../../core/units/index.ts';

/** At most this many problems of one file are spelt out. */
const SHOWN = 20;

/** Gathers what is wrong with one file, so that all of it is told at once. */
export class ProblemList {
  readonly file: string;
  private readonly shown: Problem[] = [];
  private total = 0;

  constructor(file: string) {
    this.file = file;
  }

  get count(): number {
    return this.total;
  }

  add(code: string, message: string, place: Omit<Place, 'file'> = {}): void {
    this.total++;
    if (this.shown.length < SHOWN) this.shown.push({ code, message, place: { file: this.file, ...place } });
  }

  /** Throws everything found so far, if anything; beyond twenty only the number is told. */
  throwIfAny(): void {
    if (this.total === 0) return;
    const rest = this.total - this.shown.length;
    throw new UserError(
      rest === 0
        ? this.shown
        : [
            ...this.shown,
            {
              code: 'weather.more',
              message: `and ${count(rest)} more problem${rest === 1 ? '' : 's'}`,
              place: { file: this.file },
            },
          ],
    );
  }

  /** Adds a problem that makes further reading pointless, and throws all. */
  fail(code: string, message: string, place: Omit<Place, 'file'> = {}): never {
    this.add(code, message, place);
    this.throwIfAny();
    throw new RangeError('unreachable');
  }
}

/** What every reader of one file shares. */
export interface ReadContext {
  readonly problems: ProblemList;
  readonly notes: string[];
}

/** 8760 as `8,760`. */
export function count(value: number): string {
  return String(value).replace(/\B(?=(\d{3})+(?!\d))/g, ',');
}

/** `1 hour`, `8,760 hours`. */
export function counted(value: number, noun: string): string {
  return `${count(value)} ${noun}${value === 1 ? '' : 's'}`;
}

/** `+5.75`, `−6`: a UTC offset as people write it. */
export function offsetText(offset_h: number): string {
  const rounded = Math.round(offset_h * 100) / 100;
  return rounded < 0 ? `−${-rounded}` : `+${rounded}`;
}
