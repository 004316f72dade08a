/** Control charts of figures in a file, without a workshop: single values, samples, shares, cumulative sums, moving averages. */
import {
  CHART_SAMPLE,
  type Chart,
  type ChartFactors,
  chartFactors,
  cusum,
  describe,
  ewma,
  individualsChart,
  meanRangeChart,
  type RunRule,
  runSignals,
  shareChart,
} from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';
import { shiftedNumbers } from '../../formats/decimals.ts';
import { toNumber } from '../../formats/log-rows.ts';
import { type CapabilityLook, capabilityLook } from './capability-look.ts';
import { columnOf, type FileTable, figuresOf, readFileTable, valueColumn } from './chart-columns.ts';

export const CHART_KINDS = ['individuals', 'xbar-range', 'share', 'cusum', 'ewma'] as const;
export type ChartKind = (typeof CHART_KINDS)[number];

export interface ChartRequest {
  readonly kind: ChartKind;
  /** Column of the values; several for samples that stand in rows. For shares the column of defective units. */
  readonly columns?: readonly string[] | undefined;
  /** Column that names the sample, or, for shares, the column with the units in each. */
  readonly group?: string | undefined;
  /** Values of a sample, in the order of the rows; for shares the units in each. */
  readonly size?: number | undefined;
  readonly lower?: number | undefined;
  readonly upper?: number | undefined;
  readonly target?: number | undefined;
  /** Standard deviation that is known, for cumulative sums and moving averages; else from the moving range. */
  readonly sigma?: number | undefined;
  /** Of the cumulative sums: slack and limit, in the unit of the values. */
  readonly slack?: number | undefined;
  readonly limit?: number | undefined;
  /** Of the moving average: weight of the newest value. */
  readonly weight?: number | undefined;
  readonly confidence?: number | undefined;
}

interface Line {
  readonly values: readonly number[];
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
}
export interface ChartOutcome {
  readonly command: 'batch chart';
  readonly verdict: string;
  readonly kind: ChartKind;
  readonly column: string;
  readonly count: number;
  readonly mean: number;
  /** With n - 1; null for one value. */
  readonly sd: number | null;
  /** Correlation of each value with the next; null where it has no meaning. */
  readonly lagOne: number | null;
  readonly least: number;
  readonly most: number;
  /** Short-term standard deviation, from the ranges; null for shares. */
  readonly sigma: number | null;
  /** What is plotted, with its centre line and limits; of changing limits those that hold at the end. */
  readonly chart: Line;
  /** Limits that change from point to point. */
  readonly limits: { readonly lower: readonly number[]; readonly upper: readonly number[] } | null;
  /** Chart of the ranges below it. */
  readonly ranges: Line | null;
  /** Values of a sample, and the factors that belong to it. */
  readonly size: number | null;
  readonly factors: ChartFactors | null;
  readonly cusum: {
    readonly target: number;
    readonly slack: number;
    readonly limit: number;
    readonly high: readonly number[];
    readonly low: readonly number[];
    /** First point beyond the limit, from 1. */
    readonly first: number | null;
  } | null;
  readonly ewma: { readonly target: number; readonly weight: number; readonly sigma: number } | null;
  /** Points beyond the limits, from 1. */
  readonly outside: readonly number[];
  readonly rangesOutside: readonly number[];
  readonly signals: readonly { readonly rule: RunRule; readonly from: number; readonly to: number }[];
  readonly capability: CapabilityLook | null;
  readonly notes: readonly string[];
}

type Body = Pick<ChartOutcome, 'chart' | 'sigma' | 'outside'> & Partial<ChartOutcome>;

/**
 * The chart of a file.
 *
 * @throws UserError on columns, figures and sizes that make no chart
 */
export function chartFile(text: string, file: string, request: ChartRequest): ChartOutcome {
  const table = readFileTable(text, file);
  if (request.kind === 'share') return shareOutcome(table, request);
  const columns = (request.columns ?? []).map((name) => columnOf(table, name));
  if (columns.length === 0) columns.push(valueColumn(table));
  if (columns.length > 1 && request.kind !== 'xbar-range')
    throw userError('chart-columns', `a chart of ${request.kind} has one column of values`, { field: 'column' });
  const perColumn = columns.map((column) => figuresOf(table, column));
  const texts = table.rows.flatMap((_, r) => perColumn.map((column) => column[r]!));
  const values = Float64Array.from(texts, toNumber);
  const description = describeTexts(texts, values);
  const column = columns.map((c) => table.titles[c]).join(', ');
  const base = { column, count: values.length, ...description };
  const body =
    request.kind === 'xbar-range'
      ? samples(table, values, columns.length, request)
      : request.kind === 'individuals'
        ? single(values, table)
        : weighed(values, table, request);
  return finish(base, body, request);
}

/** Mean and spread of the figures as they are written: those of large values with a small spread lose nothing. */
function describeTexts(texts: readonly string[], values: Float64Array) {
  const shifted = shiftedNumbers(texts);
  const found = describe(shifted?.offsets ?? values);
  const { base = 0 } = shifted ?? {};
  return {
    mean: base + found.mean,
    sd: Number.isFinite(found.sd) ? found.sd : null,
    lagOne: Number.isFinite(found.lagOne) ? found.lagOne : null,
    least: describe(values).least,
    most: describe(values).most,
  };
}

const lineOf = ({ values, centre, lower, upper }: Chart): Line => ({ values: [...values], centre, lower, upper });
const beyond = ({ values, lower, upper }: Line): number[] =>
  values.flatMap((v, i) => (v > upper || v < lower ? [i + 1] : []));
const signalsOf = (chart: Chart) =>
  runSignals(chart).map(({ rule, from, to }) => ({ rule, from: from + 1, to: to + 1 }));

function few(table: FileTable, found: number, needed: number, what: string): void {
  if (found < needed)
    throw userError('chart-few', `${found} ${what}: a chart needs at least ${needed}`, { file: table.file });
}

function single(values: Float64Array, table: FileTable): Body {
  few(table, values.length, 2, values.length === 1 ? 'value' : 'values');
  const { individuals, movingRange } = individualsChart(values);
  const [chart, ranges] = [lineOf(individuals), lineOf(movingRange)];
  return {
    ...{ chart, ranges, sigma: individuals.sigma, size: 2, factors: chartFactors(2) },
    outside: beyond(chart),
    // A range belongs to the second of its two values.
    rangesOutside: beyond(ranges).map((at) => at + 1),
    signals: signalsOf(individuals),
  };
}

function samples(table: FileTable, values: Float64Array, columns: number, request: ChartRequest): Body {
  const size = sizeOf(table, values.length, columns, request);
  if (size < CHART_SAMPLE[0] || size > CHART_SAMPLE[1])
    throw userError(
      'chart-size',
      `samples of ${size}: a chart of means and ranges takes ${CHART_SAMPLE[0]} to ${CHART_SAMPLE[1]} values a sample; single values are charted by themselves (individuals)`,
      { field: 'size' },
    );
  if (values.length % size !== 0)
    throw userError('chart-size', `${values.length} values are not whole samples of ${size}`, { file: table.file });
  few(table, values.length / size, 2, 'sample');
  const { means, ranges, withinSigma } = meanRangeChart(values, size);
  const [chart, below] = [lineOf(means), lineOf(ranges)];
  return {
    ...{ chart, ranges: below, sigma: withinSigma, size, factors: chartFactors(size) },
    outside: beyond(chart),
    rangesOutside: beyond(below),
    signals: signalsOf(means),
  };
}

/** Values of a sample: the columns of a row, the rows of a name, or as told. */
function sizeOf(table: FileTable, count: number, columns: number, request: ChartRequest): number {
  if (columns > 1) return columns;
  if (request.group === undefined) {
    if (request.size !== undefined) return request.size;
    throw userError(
      'chart-samples',
      'what makes a sample: name the columns of a row (column, several times), the column that names the sample (group), or how many rows make one (size)',
      { field: 'group' },
    );
  }
  const column = columnOf(table, request.group);
  const names = table.rows.map(({ cells }) => cells[column] ?? '');
  const runs = names.flatMap((name, i) => (i === 0 || name !== names[i - 1] ? [i] : []));
  const sizes = runs.map((from, i) => (runs[i + 1] ?? count) - from);
  const odd = sizes.findIndex((size) => size !== sizes[0]);
  const again = runs.find((from, i) => runs.findIndex((other) => names[other] === names[from]) !== i);
  if (again !== undefined || odd >= 0)
    throw userError(
      'chart-samples',
      again !== undefined
        ? `sample ${names[again]} stands in two places: its rows stand together`
        : `sample ${names[runs[odd]!]} has ${sizes[odd]} values, the first ${sizes[0]}: all samples are of one size`,
      { file: table.file, line: table.rows[again ?? runs[odd]!]!.line },
    );
  return sizes[0]!;
}

/** Cumulative sums and moving averages: charts that have a memory, for small lasting shifts. */
function weighed(values: Float64Array, table: FileTable, request: ChartRequest): Body {
  few(table, values.length, 2, 'value');
  const { mean } = describe(values);
  const sigma = positive('sigma', request.sigma) ?? individualsChart(values).individuals.sigma;
  const target = request.target ?? mean;
  const still = () =>
    userError('chart-still', 'all values are alike: give the standard deviation (sigma) that is usual', {
      file: table.file,
    });
  if (request.kind === 'cusum') {
    const { slack = 0.5 * sigma } = request;
    const limit = positive('limit', request.limit) ?? 5 * sigma;
    if (!(limit > 0)) throw still();
    if (!(slack >= 0)) throw userError('chart-slack', `slack is ${slack}: nought or more`, { field: 'slack' });
    const { high, low, first } = cusum(values, target, slack, limit);
    const sums = { high: [...high], low: [...low] };
    return {
      sigma,
      chart: { values: [...values], centre: target, lower: Number.NaN, upper: Number.NaN },
      cusum: { target, slack, limit, ...sums, first: first < 0 ? null : first + 1 },
      outside: sums.high.flatMap((v, i) => (v > limit || sums.low[i]! > limit ? [i + 1] : [])),
    };
  }
  const { weight = 0.2 } = request;
  if (!(weight > 0 && weight <= 1))
    throw userError('chart-weight', `weight is ${weight}: above 0, at most 1; 0.2 to 0.3 is usual`, {
      field: 'weight',
    });
  if (!(sigma > 0)) throw still();
  const { average, half, settled } = ewma(values, target, sigma, weight);
  const chart = { values: [...average], centre: target, lower: target - settled, upper: target + settled };
  const limits = { lower: [...half].map((h) => target - h), upper: [...half].map((h) => target + h) };
  return {
    ...{ sigma, chart, limits, ewma: { target, weight, sigma } },
    outside: chart.values.flatMap((v, i) => (v > limits.upper[i]! || v < limits.lower[i]! ? [i + 1] : [])),
  };
}

function positive(field: string, value: number | undefined): number | undefined {
  if (value !== undefined && !(value > 0))
    throw userError(`chart-${field}`, `${field} is ${value}: more than nought`, { field });
  return value;
}

function shareOutcome(table: FileTable, request: ChartRequest): ChartOutcome {
  const { columns = [], group, size } = request;
  if (columns.length > 1 || (group === undefined) === (size === undefined))
    throw userError(
      'chart-share',
      'a chart of shares has one column of defective units, and either the units in each sample (size) or a column that tells them (group)',
      { field: 'size' },
    );
  const own = columns[0] === undefined ? valueColumn(table) : columnOf(table, columns[0]);
  const bad = Float64Array.from(figuresOf(table, own), toNumber);
  const sizes =
    group === undefined
      ? new Float64Array(bad.length).fill(size!)
      : Float64Array.from(figuresOf(table, columnOf(table, group)), toNumber);
  const wrong = bad.findIndex(
    (b, i) => !(Number.isInteger(b) && Number.isInteger(sizes[i]) && b >= 0 && sizes[i]! >= 1 && b <= sizes[i]!),
  );
  if (wrong >= 0)
    throw userError(
      'chart-share',
      `${bad[wrong]} defective of ${sizes[wrong]}: whole numbers, no more defective than looked at`,
      { file: table.file, line: table.rows[wrong]!.line },
    );
  const { shares, centre, lower, upper } = shareChart(bad, sizes);
  const found = describe(shares);
  const limits = { lower: [...lower], upper: [...upper] };
  const chart = { values: [...shares], centre, lower: lower.at(-1)!, upper: upper.at(-1)! };
  const least = Math.min(...sizes) * Math.min(centre, 1 - centre);
  const base = {
    column: table.titles[own]!,
    count: shares.length,
    mean: found.mean,
    sd: Number.isFinite(found.sd) ? found.sd : null,
    lagOne: Number.isFinite(found.lagOne) ? found.lagOne : null,
    ...{ least: found.least, most: found.most },
  };
  return finish(
    base,
    {
      ...{ chart, limits, sigma: null, size: group === undefined ? size! : null },
      outside: chart.values.flatMap((v, i) => (v > upper[i]! || v < lower[i]! ? [i + 1] : [])),
      notes:
        least < 5
          ? [
              `samples are small: ${Number(least.toPrecision(2))} defective or good ones are expected in the smallest, and the limits want about five (common practice)`,
            ]
          : [],
    },
    request,
  );
}

type Base = Pick<ChartOutcome, 'column' | 'count' | 'mean' | 'sd' | 'lagOne' | 'least' | 'most'>;

function finish(base: Base, body: Body, request: ChartRequest): ChartOutcome {
  const { kind, lower, upper, target, confidence } = request;
  const capability =
    (lower === undefined && upper === undefined) || kind === 'share' || base.sd === null
      ? null
      : capabilityLook({
          mean: base.mean,
          sd: base.sd,
          sigma: body.sigma,
          count: base.count,
          lower,
          upper,
          target,
          confidence,
        });
  const outcome = {
    command: 'batch chart' as const,
    kind,
    ...base,
    ...{ limits: null, ranges: null, size: null, factors: null, cusum: null, ewma: null },
    ...{ rangesOutside: [], signals: [] },
    ...body,
    capability,
  };
  return { ...outcome, verdict: verdictOf(outcome), notes: notesOf(outcome, body.notes ?? []) };
}

const WORDS: Readonly<Record<ChartKind, string>> = {
  individuals: 'values',
  'xbar-range': 'means',
  share: 'shares',
  cusum: 'sums',
  ewma: 'averages',
};
const short = (value: number) => String(Number(value.toPrecision(5)));

type Unsaid = Omit<ChartOutcome, 'verdict' | 'notes'>;

function verdictOf({
  kind,
  column,
  chart,
  outside,
  rangesOutside,
  signals,
  cusum: sums,
  ewma: weights,
}: Unsaid): string {
  const word = WORDS[kind];
  const where =
    sums === null
      ? `centre ${short(chart.centre)}, limits ${short(chart.lower)} to ${short(chart.upper)}`
      : `target ${short(sums.target)}, slack ${short(sums.slack)}, limit ${short(sums.limit)}`;
  const runs = [...new Set(signals.filter((s) => s.rule !== 'one-beyond-3-sigma').map((s) => s.to))];
  const list = (at: readonly number[]) =>
    `${at.slice(0, 10).join(', ')}${at.length > 10 ? ` and ${at.length - 10} more` : ''}`;
  const told = [
    outside.length === 0 ? '' : `outside at ${list(outside)}`,
    rangesOutside.length === 0 ? '' : `ranges outside at ${list(rangesOutside)}`,
    runs.length === 0 ? '' : `runs end at ${list(runs)}`,
  ].filter(Boolean);
  const steady = told.length === 0 ? `steady: none of ${chart.values.length} ${word} stands out` : told.join('; ');
  const how = weights === null ? '' : `, weight ${short(weights.weight)}`;
  return `${column}: ${where}${how}; ${steady}.`;
}

function notesOf({ kind, count, lagOne, chart, capability, size }: Unsaid, more: readonly string[]): string[] {
  const notes = [...more];
  const points = chart.values.length;
  if (kind !== 'share' && lagOne !== null && Math.abs(lagOne) > 2 / Math.sqrt(count) && count >= 8)
    notes.push(
      `neighbouring values depend on one another (correlation ${lagOne.toFixed(2)}, beyond 2/√n = ${(2 / Math.sqrt(count)).toFixed(2)}): the limits take them for independent, and will be ${lagOne > 0 ? 'too narrow' : 'too wide'}`,
    );
  if (points < 20)
    notes.push(
      `limits from ${points} ${kind === 'xbar-range' ? `samples of ${size}` : 'points'} are rough: 20 to 25 are usual (common practice)`,
    );
  if (capability !== null) notes.push(...capability.notes);
  return notes;
}
