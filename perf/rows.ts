/** One line of the benchmark: an absolute figure, and where there is one the ratio to a reference of the same call. */
export interface BenchRow {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** How many times the reference takes longer (or how large it is against the target). */
  readonly ratio?: number;
  readonly against?: string;
}

/** Prints rows as an aligned table. */
export function printRows(title: string, rows: readonly BenchRow[]): void {
  console.log(`\n${title}`);
  const width = Math.max(...rows.map((row) => row.name.length));
  for (const row of rows) {
    const ratio = row.ratio === undefined ? '' : `  ${row.ratio.toPrecision(3)}x`;
    const against = row.against === undefined ? '' : ` ${row.against}`;
    console.log(`  ${row.name.padEnd(width)}  ${row.value.toPrecision(4).padStart(9)} ${row.unit}${ratio}${against}`);
  }
}

/** Median of the times of some runs, ms. */
export function medianOf(runs: number, work: () => void): number {
  const times: number[] = [];
  for (let r = 0; r < runs; r++) {
    const begin = performance.now();
    work();
    times.push(performance.now() - begin);
  }
  return times.sort((a, b) => a - b)[Math.floor(runs / 2)]!;
}
