/** A gauge study: how much of the spread of a measurement is the gauge, from parts that several people measured several times. */
import { type AnovaResult, gaugeByAnova, gaugeByOne, gaugeByRanges } from '../../core/quality/index.ts';
import { type Problem, UserError, userError } from '../../core/units/index.ts';
import { HEADER_WITHIN, plainTitle, rowsOf, shorten, toNumber } from '../../formats/log-rows.ts';

export interface GaugeOutcome {
  readonly command: 'batch gauge';
  readonly verdict: string;
  readonly method: 'anova' | 'ranges' | 'one person';
  readonly parts: number;
  readonly operators: number;
  readonly trials: number;
  /** Standard deviations; null what one person or one part cannot tell. */
  readonly repeatability: number;
  readonly reproducibility: number | null;
  readonly gauge: number;
  readonly part: number | null;
  readonly total: number | null;
  /** Interval on the repeatability, 95 %: a few measurements leave it wide. */
  readonly repeatabilityInterval: { readonly low: number; readonly high: number };
  readonly study_pct: number | null;
  /** Null also where the gauge shows no spread at all. */
  readonly classes: number | null;
  readonly classesExact: number | null;
  readonly interactionChance: number | null;
  /** Of the analysis of variance: sums of squares, mean squares, variances. */
  readonly squares: AnovaResult['squares'] | null;
  readonly meanSquares: AnovaResult['meanSquares'] | null;
  readonly variance: AnovaResult['variance'] | null;
  /** Of averages and ranges. */
  readonly meanRange: number | null;
  readonly personRange: number | null;
  readonly partRange: number | null;
  readonly notes: readonly string[];
}

const COLUMNS = ['part', 'operator', 'trial', 'value'] as const;

/**
 * Reads part, operator, trial and value from CSV and splits the spread by its sources.
 *
 * @throws UserError where a column is missing, a value is no number, a measurement stands twice or one is missing
 */
export function gaugeStudy(text: string, file: string, method: 'anova' | 'ranges' = 'anova'): GaugeOutcome {
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
  if (trials < 2 || (operators > 1 && parts < 2))
    throw userError(
      'gauge-small',
      trials < 2
        ? `${trials === 1 ? 'one trial' : 'no trial'}: repeatability shows only where a part is measured at least twice by the same person`
        : 'one part measured by several persons: take at least two parts, or one person at a time',
      { file },
    );
  const ordered = Float64Array.from(grid, (key) => values.get(key.join('\n'))!);
  const shape = { parts, operators, trials };
  if (operators === 1) return onePerson(shape, ordered);
  // Spread within parts and persons has so many degrees of freedom, whatever the method.
  const { low, high, repeatability } = gaugeByOne(parts * operators, trials, ordered);
  if (ordered.every((v) => v === ordered[0]) || (repeatability === 0 && method === 'ranges')) throw still(file);
  const study = { parts, persons: operators, trials, values: ordered };
  const empty = {
    ...{ interactionChance: null, squares: null, meanSquares: null, variance: null },
    ...{ meanRange: null, personRange: null, partRange: null },
  };
  const found = method === 'anova' ? gaugeByAnova(study) : gaugeByRanges(study);
  const classes = Number.isFinite(found.classes) ? found.classes : null;
  const chance = 'interactionChance' in found ? found.interactionChance : Number.NaN;
  return {
    command: 'batch gauge',
    verdict: verdictOf(found.study_pct, classes),
    method,
    ...shape,
    ...empty,
    ...found,
    classes,
    classesExact: classes === null ? null : found.classesExact,
    interactionChance: Number.isFinite(chance) ? chance : null,
    repeatabilityInterval: { low, high },
    notes: [
      method === 'anova'
        ? 'by analysis of variance with the interaction of operator and part kept'
        : 'by averages and ranges, as done by hand: it cannot see whether persons differ from part to part (anova can)',
      'under 10 % good, 10 to 30 % usable with care, above 30 % not usable; five classes or more are wanted (AIAG; common practice)',
      `the interval on repeatability (${round(low)} to ${round(high)}, 95 %) says how far so few measurements carry`,
      ...(repeatability === 0
        ? ['repeated trials show no spread: the meter may be too coarse, or the trials were not done anew']
        : []),
    ],
  };
}

const round = (value: number) => String(Number(value.toPrecision(3)));
const still = (file: string) =>
  userError('gauge-still', 'the measurements show no spread: the meter is too coarse for these parts', { file });

/** A workshop of one: what the same hand measures of the same part, again and again. */
function onePerson(shape: Pick<GaugeOutcome, 'parts' | 'operators' | 'trials'>, ordered: Float64Array): GaugeOutcome {
  const { repeatability, low, high, part } = gaugeByOne(shape.parts, shape.trials, ordered);
  const known = Number.isFinite(part) && (part > 0 || repeatability > 0);
  const total = known ? Math.hypot(repeatability, part) : null;
  const study_pct = total === null ? null : (100 * repeatability) / total;
  const exact = known && repeatability > 0 ? (1.41 * part) / repeatability : null;
  return {
    command: 'batch gauge',
    verdict:
      study_pct === null
        ? `Repeated measurements spread by ${round(repeatability)} (standard deviation, ${round(low)} to ${round(high)}).`
        : verdictOf(study_pct, exact === null ? null : Math.floor(exact)),
    method: 'one person',
    ...shape,
    ...{ repeatability, reproducibility: null, gauge: repeatability, part: known ? part : null, total },
    ...{ repeatabilityInterval: { low, high }, study_pct, classes: exact === null ? null : Math.floor(exact) },
    ...{ classesExact: exact, interactionChance: null, squares: null, meanSquares: null, variance: null },
    ...{ meanRange: null, personRange: null, partRange: null },
    notes: [
      'one person: what would differ between persons or jigs stays unseen',
      `the interval on repeatability (${round(low)} to ${round(high)}, 95 %) says how far so few measurements carry`,
      ...(repeatability === 0
        ? ['repeated trials show no spread: the meter may be too coarse, or the trials were not done anew']
        : []),
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

function verdictOf(study_pct: number, classes: number | null): string {
  const word =
    study_pct < 10 ? 'good' : study_pct <= 30 ? 'usable with care' : 'not usable for telling these parts apart';
  return `The gauge makes ${study_pct.toFixed(1)} % of the whole spread: ${word}.${classes === null ? '' : ` It tells ${classes} ${classes === 1 ? 'class' : 'classes'} of parts apart.`}`;
}
