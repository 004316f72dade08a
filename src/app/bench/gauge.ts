/** A gauge study: how much of the spread of a measurement is the gauge, from parts that several people measured several times. */
import { type AnovaResult, gaugeByAnova } from '../../core/quality/index.ts';
import { type Problem, UserError, userError } from '../../core/units/index.ts';
import { HEADER_WITHIN, plainTitle, rowsOf, shorten, toNumber } from '../../formats/log-rows.ts';

export interface GaugeOutcome extends Omit<AnovaResult, 'squares' | 'meanSquares' | 'variance'> {
  readonly command: 'batch gauge';
  readonly verdict: string;
  readonly parts: number;
  readonly operators: number;
  readonly trials: number;
  readonly notes: readonly string[];
}

const COLUMNS = ['part', 'operator', 'trial', 'value'] as const;

/**
 * Reads part, operator, trial and value from CSV and splits the spread by its sources.
 *
 * @throws UserError where a column is missing, a value is no number, a measurement stands twice or one is missing
 */
export function gaugeStudy(text: string, file: string): GaugeOutcome {
  const rows = rowsOf(text, [/part/i, /operator/i, /value/i]);
  const { at, columns } = headerOf(rows, file);
  const problems: Problem[] = [];
  const lists = { part: new Set<string>(), operator: new Set<string>(), trial: new Set<string>() };
  const values = new Map<string, number>();
  for (let r = at + 1; r < rows.length; r++) {
    const row = rows[r]!;
    if (row.every((cell) => cell.trim() === '')) continue;
    const [part, operator, trial, text = ''] = columns.map((column) => (row[column] ?? '').trim()) as string[];
    const value = toNumber(text);
    const place = { file, line: r + 1 };
    const key = [part, operator, trial].join('\n');
    if (!Number.isFinite(value))
      problems.push({ code: 'gauge-number', message: `value is '${shorten(text)}': a number is needed`, place });
    else if (values.has(key))
      problems.push({
        code: 'gauge-twice',
        message: `part ${part}, operator ${operator}, trial ${trial} stands twice`,
        place,
      });
    else values.set(key, value);
    lists.part.add(part!);
    lists.operator.add(operator!);
    lists.trial.add(trial!);
  }
  if (problems.length > 0) throw new UserError(problems.slice(0, 20));
  const grid = [...lists.part].flatMap((p) =>
    [...lists.operator].flatMap((o) => [...lists.trial].map((t) => [p, o, t] as const)),
  );
  const missing = grid.find((key) => !values.has(key.join('\n')));
  const [parts, operators, trials] = [lists.part.size, lists.operator.size, lists.trial.size];
  if (missing !== undefined)
    throw userError(
      'gauge-gap',
      `part ${missing[0]}, operator ${missing[1]}, trial ${missing[2]} is missing: everybody measures every part equally often`,
      { file },
    );
  if (parts < 2 || operators < 2 || trials < 2)
    throw userError(
      'gauge-small',
      `${parts} parts, ${operators} operators and ${trials} trials: a study needs at least two of each`,
      { file },
    );
  const study = {
    parts,
    persons: operators,
    trials,
    values: Float64Array.from(grid, (key) => values.get(key.join('\n'))!),
  };
  const { squares: _s, meanSquares: _m, variance: _v, ...result } = gaugeByAnova(study);
  return {
    command: 'batch gauge',
    verdict: verdictOf(result.study_pct, result.classes),
    parts,
    operators,
    trials,
    ...result,
    notes: [
      'by analysis of variance with the interaction of operator and part kept',
      'under 10 % good, 10 to 30 % usable with care, above 30 % not usable; five classes or more are wanted (AIAG; common practice)',
    ],
  };
}

function headerOf(rows: readonly (readonly string[])[], file: string): { at: number; columns: number[] } {
  for (let at = 0; at < Math.min(rows.length, HEADER_WITHIN); at++) {
    const titles = rows[at]!.map(plainTitle);
    const columns = COLUMNS.map((name) => titles.indexOf(name));
    if (columns.every((column) => column >= 0)) return { at, columns };
  }
  throw userError('gauge-header', `no title row was found: the columns are ${COLUMNS.join(', ')}`, { file });
}

function verdictOf(study_pct: number, classes: number): string {
  const word =
    study_pct < 10 ? 'good' : study_pct <= 30 ? 'usable with care' : 'not usable for telling these parts apart';
  return `The gauge makes ${study_pct.toFixed(1)} % of the whole spread: ${word}. It tells ${classes} ${classes === 1 ? 'class' : 'classes'} of parts apart.`;
}
