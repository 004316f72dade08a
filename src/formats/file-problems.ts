import type { Problem } from '../core/units/index.ts';

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(E[+-]?\d+)?$/i;

/** A plain decimal number; NaN for anything else, words like NaN and Inf among it. */
export function parseNumber(text: string): number {
  if (!NUMBER.test(text)) return Number.NaN;
  const value = Number(text);
  return Number.isFinite(value) ? value : Number.NaN;
}

/** Cut where it is long, with unprintable characters made visible. */
export function shorten(text: string): string {
  const clean = text.replace(/[\u0000-\u001f\u007f-\u009f\ufffd]/g, '·');
  return clean.length > 40 ? `${clean.slice(0, 40)}…` : clean;
}

/** Gathers problems of one file with their lines; only the first twenty are spelt out. */
export class FileProblems {
  readonly list: Problem[] = [];
  private readonly file: string | undefined;
  private readonly area: string;

  constructor(area: string, file: string | undefined) {
    this.area = area;
    this.file = file;
  }

  get full(): boolean {
    return this.list.length >= 20;
  }

  add(code: string, message: string, line?: number, field?: string): void {
    if (this.full) return;
    this.list.push({
      code: `${this.area}.${code}`,
      message,
      place: {
        ...(this.file === undefined ? {} : { file: this.file }),
        ...(line === undefined ? {} : { line }),
        ...(field === undefined ? {} : { field }),
      },
    });
  }
}
