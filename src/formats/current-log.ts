import type { Problem } from '../core/units/index.ts';
import { UserError } from '../core/units/index.ts';
import { HEADER_WITHIN, plainTitle, rowsOf, shorten, toNumber } from './log-rows.ts';

/** A log of supply current, as read: ready for `summariseCurrentLog`. */
export interface CurrentLog {
  readonly time_s: Float64Array;
  readonly current_mA: Float64Array;
  /** What the reader took for granted, in words. */
  readonly notes: readonly string[];
}

/** Factor to seconds of each known time column. */
const TIME_UNITS: Readonly<Record<string, number>> = { time_s: 1, time_ms: 1e-3 };
/** Factor to milliampere of each known current column. */
const CURRENT_UNITS: Readonly<Record<string, number>> = { current_ma: 1, current_ua: 1e-3, current_a: 1e3 };
/** Beyond these no log is real: a thousand ampere, three thousand years (a count of milliseconds since 1970 is well inside). */
const LARGEST = { time_s: 1e11, current_mA: 1e6 } as const;
/** So many faults are told, the rest is counted. */
const MOST_PROBLEMS = 20;

/**
 * Reads a current log in CSV: one column `time_s` or `time_ms`, one `current_mA`, `current_uA` or `current_A`, found by
 * name in any order and among others. Comma, semicolon or tab between fields; with a semicolon or tab a decimal comma is
 * understood. A byte-order mark, mixed line ends and lines above the title row are allowed.
 *
 * @throws UserError with line and field of every fault (the first twenty): no title row, a column without a known unit, two
 * columns of one kind, a value that is not a number, a missing field, a value beyond all sense, time running backwards, fewer than two rows.
 */
export function readCurrentLog(text: string, file?: string): CurrentLog {
  const rows = rowsOf(text, [/time/i, /current/i]);
  const header = findHeader(rows);
  const place = (line?: number, field?: string) => ({
    ...(file === undefined ? {} : { file }),
    ...(line === undefined ? {} : { line }),
    ...(field === undefined ? {} : { field }),
  });
  if (header.problems.length > 0)
    throw new UserError(header.problems.map(({ at, ...problem }) => ({ ...problem, place: place(at) })));

  const { line: headerLine, time, current } = header;
  const time_s: number[] = [];
  const current_mA: number[] = [];
  const problems: Problem[] = [];
  let faults = 0;
  const say = (code: string, message: string, line: number, field: string) => {
    if (++faults <= MOST_PROBLEMS) problems.push({ code, message, place: place(line, field) });
  };
  for (let r = headerLine; r < rows.length; r++) {
    const row = rows[r];
    if (row.every((cell) => cell.trim() === '')) continue;
    const line = r + 1;
    const values = [time, current].map((column) => {
      const found = row[column.index]?.trim() ?? '';
      const value = toNumber(found);
      if (Number.isFinite(value)) return value * column.factor;
      const what = found === '' ? 'is missing' : `is '${shorten(found)}'`;
      say('current-log-number', `${column.name} ${what}: a number is needed, such as 0.012.`, line, column.name);
      return Number.NaN;
    });
    const [now = Number.NaN, drawn = Number.NaN] = values;
    if (Number.isNaN(now) || Number.isNaN(drawn)) continue;
    if (Math.abs(now) > LARGEST.time_s || Math.abs(drawn) > LARGEST.current_mA) {
      const [column, what] = Math.abs(now) > LARGEST.time_s ? [time, `${now} s`] : [current, `${drawn} mA`];
      say(
        'current-log-range',
        `${column.name} comes to ${what}, which no log holds: is the unit right?`,
        line,
        column.name,
      );
      continue;
    }
    const before = time_s[time_s.length - 1];
    if (before !== undefined && now < before) {
      say(
        'current-log-time',
        `the time ${now} s follows ${before} s: time must not run backwards; sort the rows or split the log.`,
        line,
        time.name,
      );
      continue;
    }
    time_s.push(now);
    current_mA.push(drawn);
  }
  if (faults > MOST_PROBLEMS)
    problems.push({ code: 'current-log-more', message: `and ${faults - MOST_PROBLEMS} more faults.`, place: place() });
  if (faults === 0 && time_s.length < 2)
    problems.push({
      code: 'current-log-short',
      message: `the log has ${time_s.length === 1 ? 'one row' : 'no rows'} below its titles: at least two are needed.`,
      place: place(headerLine),
    });
  else if (faults === 0 && time_s[time_s.length - 1] === time_s[0])
    problems.push({
      code: 'current-log-span',
      message: 'all rows have the same time: the log must span some time; is the time column rounded?',
      place: place(headerLine, time.name),
    });
  if (problems.length > 0) throw new UserError(problems);
  return {
    time_s: Float64Array.from(time_s),
    current_mA: Float64Array.from(current_mA),
    notes: headerLine > 1 ? [`${headerLine - 1} lines above the titles were passed over`] : [],
  };
}

interface Column {
  readonly index: number;
  readonly name: string;
  readonly factor: number;
}

interface Header {
  /** Line of the titles, from 1. */
  readonly line: number;
  readonly time: Column;
  readonly current: Column;
  readonly problems: readonly (Problem & { readonly at?: number })[];
}

const NO_COLUMN: Column = { index: -1, name: '', factor: 0 };

function findHeader(rows: readonly string[][]): Header {
  const fail = (code: string, message: string, line?: number): Header => ({
    line: 0,
    time: NO_COLUMN,
    current: NO_COLUMN,
    problems: [line === undefined ? { code, message } : { code, message, at: line }],
  });
  if (rows.every((row) => row.every((cell) => cell.trim() === '')))
    return fail('current-log-empty', 'the file is empty.');
  const wanted = 'name them time_s or time_ms, and current_mA, current_uA or current_A';
  for (let r = 0; r < Math.min(rows.length, HEADER_WITHIN); r++) {
    const names = rows[r].map(plainTitle);
    const times = names.flatMap((name, index) => (name.startsWith('time') ? [index] : []));
    const currents = names.flatMap((name, index) => (name.startsWith('current') ? [index] : []));
    if (times.length === 0 || currents.length === 0) continue;
    const known = (indices: number[], units: Readonly<Record<string, number>>): Column[] =>
      indices.flatMap((index) => {
        const factor = Object.hasOwn(units, names[index]) ? units[names[index]] : undefined;
        return factor === undefined ? [] : [{ index, name: rows[r][index].trim(), factor }];
      });
    const time = known(times, TIME_UNITS);
    const current = known(currents, CURRENT_UNITS);
    const titles = (indices: number[]) => indices.map((index) => `'${shorten(rows[r][index].trim())}'`).join(', ');
    if (time.length === 0)
      return fail('current-log-unit', `the unit of ${titles(times)} is not known: ${wanted}.`, r + 1);
    if (current.length === 0)
      return fail('current-log-unit', `the unit of ${titles(currents)} is not known: ${wanted}.`, r + 1);
    if (time.length > 1 || current.length > 1)
      return fail(
        'current-log-twice',
        `there are several such columns: ${titles(time.length > 1 ? times : currents)}; keep one time and one current.`,
        r + 1,
      );
    return { line: r + 1, time: time[0], current: current[0], problems: [] };
  }
  return fail(
    'current-log-titles',
    `no title row with a time and a current column is among the first ${HEADER_WITHIN} lines: ${wanted}.`,
  );
}
