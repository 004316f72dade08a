/** A straight line through pairs of figures in a file: a meter against a reference, a value that creeps with the day. */
import { fitLine } from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';
import { toNumber } from '../../formats/log-rows.ts';
import { columnOf, figuresOf, readFileTable } from './chart-columns.ts';

export interface LineOutcome {
  readonly command: 'batch line';
  readonly verdict: string;
  readonly x: string;
  readonly y: string;
  readonly count: number;
  readonly intercept: number;
  readonly slope: number;
  /** Standard errors. */
  readonly interceptError: number;
  readonly slopeError: number;
  /** Standard deviation of the residuals. */
  readonly residual: number;
  /** Share of the variance that the line explains. */
  readonly explained: number;
  /** Variance ratio of the slope; null where every point lies on the line. */
  readonly f: number | null;
}

/** @throws UserError for columns that are not there, fewer than three pairs, and x that are all alike */
export function lineFile(text: string, file: string, names: { readonly x: string; readonly y: string }): LineOutcome {
  const table = readFileTable(text, file);
  const [x, y] = [names.x, names.y].map((name) =>
    Float64Array.from(figuresOf(table, columnOf(table, name)), toNumber),
  ) as [Float64Array, Float64Array];
  if (x.length < 3 || x.every((v) => v === x[0]))
    throw userError(
      'line-pairs',
      x.length < 3
        ? `${x.length} pairs: a line needs at least three`
        : `every ${names.x} is ${x[0]}: no line can be laid`,
      { file },
    );
  const line = fitLine(x, y);
  const short = (v: number) => String(Number(v.toPrecision(5)));
  return {
    command: 'batch line',
    verdict: `${names.y} = ${short(line.intercept)} ${line.slope < 0 ? '-' : '+'} ${short(Math.abs(line.slope))} × ${names.x}; it misses by ${short(line.residual)} as a rule.`,
    ...names,
    count: x.length,
    ...line,
    f: line.slopeError > 0 ? (line.slope / line.slopeError) ** 2 : null,
  };
}
