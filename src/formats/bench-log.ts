/** Logs of bench measurements in CSV: a time, a voltage, a current. */
import type { Problem } from '../core/units/index.ts';
import { UserError } from '../core/units/index.ts';
import { HEADER_WITHIN, plainTitle, rowsOf, shorten, toNumber } from './log-rows.ts';

/** A log as read: ready for `readDischarge` and `readRamp`. */
export interface BenchLog {
  readonly time_s: Float64Array;
  readonly voltage_V: Float64Array;
  readonly current_mA: Float64Array;
  /** What the reader took for granted, in words. */
  readonly notes: readonly string[];
}

export interface BenchLogOptions {
  /** The log has no current: it follows from the voltage across this resistor. */
  readonly resistor_ohm?: number | undefined;
}

type Quantity = 'time' | 'voltage' | 'current';

/** Titles of each quantity, with the factor to s, V and mA. */
const TITLES: Readonly<Record<Quantity, ReadonlyMap<string, number>>> = {
  time: new Map([
    ['time_s', 1],
    ['time_ms', 1e-3],
    ['time_min', 60],
    ['time_h', 3600],
  ]),
  voltage: new Map([
    ['voltage_v', 1],
    ['voltage_mv', 1e-3],
    ['supply_v', 1],
    ['supply_mv', 1e-3],
  ]),
  current: new Map([
    ['current_ma', 1],
    ['current_ua', 1e-3],
    ['current_a', 1e3],
  ]),
};
const BEGINS: Readonly<Record<Quantity, RegExp>> = { time: /^time/, voltage: /^(voltage|supply)/, current: /^current/ };
const NAMES: Readonly<Record<Quantity, string>> = {
  time: 'time_s, time_ms, time_min or time_h',
  voltage: 'voltage_V or voltage_mV (supply_V, supply_mV)',
  current: 'current_mA, current_uA or current_A',
};
/** Beyond these no bench log is real: three thousand years, a thousand volt, a thousand ampere. */
const LARGEST: Readonly<Record<Quantity, number>> = { time: 1e11, voltage: 1e3, current: 1e6 };
const UNIT: Readonly<Record<Quantity, string>> = { time: 's', voltage: 'V', current: 'mA' };
/** So many faults are told, the rest is counted. */
const MOST_PROBLEMS = 20;

interface Column {
  readonly quantity: Quantity;
  readonly index: number;
  readonly name: string;
  readonly factor: number;
}

/**
 * Reads a log of time, voltage and current: one column each, found by name in any order and among others, unit in the
 * name. Comma, semicolon or tab between fields, with the latter two a decimal comma too; lines above the titles are
 * passed over.
 *
 * @throws UserError with line and field of every fault (the first twenty): no title row, a unit that is not known, two
 * columns of one kind, a value that is missing or no number, a value beyond all sense, time running backwards, fewer
 * than two rows
 */
export function readBenchLog(text: string, file?: string, options: BenchLogOptions = {}): BenchLog {
  const { resistor_ohm } = options;
  const wanted: Quantity[] = resistor_ohm === undefined ? ['time', 'voltage', 'current'] : ['time', 'voltage'];
  const rows = rowsOf(text, [/time/i, /voltage|supply/i]);
  const problems: Problem[] = [];
  let faults = 0;
  const say = (code: string, message: string, line?: number, field?: string) => {
    if (++faults > MOST_PROBLEMS) return;
    problems.push({
      code: `bench-log-${code}`,
      message,
      place: {
        ...(file === undefined ? {} : { file }),
        ...(line === undefined ? {} : { line }),
        ...(field === undefined ? {} : { field }),
      },
    });
  };
  const stop = (): never => {
    if (faults > MOST_PROBLEMS) {
      const more = faults - MOST_PROBLEMS;
      faults = 0;
      say('more', `and ${more} more faults.`);
    }
    throw new UserError(problems);
  };
  const titleRow = rows.slice(0, HEADER_WITHIN).findIndex((row) => {
    const names = row.map(plainTitle);
    return names.some((n) => BEGINS.time.test(n)) && names.some((n) => BEGINS.voltage.test(n));
  });
  if (titleRow < 0) {
    const how = wanted.map((quantity) => NAMES[quantity]).join('; ');
    say(
      'titles',
      text.trim() === ''
        ? 'the file is empty.'
        : `no title row with a time and a voltage is among the first ${HEADER_WITHIN} lines: name the columns ${how}.`,
    );
    return stop();
  }
  const columns = columnsOf(rows[titleRow]!, wanted, (code, message) => say(code, message, titleRow + 1));
  if (faults > 0) return stop();

  const found: Record<Quantity, number[]> = { time: [], voltage: [], current: [] };
  for (let r = titleRow + 1; r < rows.length; r++) {
    const row = rows[r]!;
    if (row.every((cell) => cell.trim() === '')) continue;
    const values = columns.map((column) =>
      cellValue(row, column, (code, message) => say(code, message, r + 1, column.name)),
    );
    if (values.some(Number.isNaN)) continue;
    const before = found.time.at(-1);
    if (before !== undefined && values[0]! < before) {
      say(
        'time',
        `the time ${values[0]} s follows ${before} s: time must not run backwards; sort the rows or split the log.`,
        r + 1,
        columns[0]!.name,
      );
      continue;
    }
    for (const [i, column] of columns.entries()) found[column.quantity].push(values[i]!);
  }
  if (faults === 0 && found.time.length < 2)
    say('short', `the log has ${found.time.length} rows below its titles: at least two are needed.`, titleRow + 1);
  if (faults > 0) return stop();
  const notes = titleRow > 0 ? [`${titleRow} lines above the titles were passed over`] : [];
  if (resistor_ohm !== undefined) {
    notes.push(`the current follows from the voltage across ${resistor_ohm} ohm`);
    found.current = found.voltage.map((v) => (1000 * v) / resistor_ohm); // Ohm's law, mA
  }
  return {
    time_s: Float64Array.from(found.time),
    voltage_V: Float64Array.from(found.voltage),
    current_mA: Float64Array.from(found.current),
    notes,
  };
}

type Say = (code: string, message: string) => void;

/** The column of each quantity, in the order of `wanted`. */
function columnsOf(titles: readonly string[], wanted: readonly Quantity[], say: Say): Column[] {
  return wanted.flatMap((quantity) => {
    const like = titles.flatMap((title, index) => (BEGINS[quantity].test(plainTitle(title)) ? [index] : []));
    const known = like.flatMap((index): Column[] => {
      const factor = TITLES[quantity].get(plainTitle(titles[index]!));
      return factor === undefined ? [] : [{ quantity, index, name: titles[index]!.trim(), factor }];
    });
    const shown = like.map((index) => `'${shorten(titles[index]!.trim())}'`).join(', ');
    if (known.length === 1) return known;
    if (like.length === 0) say('column', `there is no ${quantity}: name its column ${NAMES[quantity]}.`);
    else if (known.length === 0) say('unit', `the unit of ${shown} is not known: name the column ${NAMES[quantity]}.`);
    else say('twice', `there are several such columns: ${shown}; keep one ${quantity}.`);
    return [];
  });
}

function cellValue(row: readonly string[], { quantity, index, factor, name }: Column, say: Say): number {
  const cell = row[index]?.trim() ?? '';
  const value = toNumber(cell) * factor;
  if (Number.isFinite(value) && Math.abs(value) <= LARGEST[quantity]) return value;
  if (Number.isFinite(value))
    say('range', `${name} comes to ${value} ${UNIT[quantity]}, which no log holds: is the unit right?`);
  else
    say(
      'number',
      `${name} ${cell === '' ? 'is missing' : `is '${shorten(cell)}'`}: a number is needed, such as 0.012.`,
    );
  return Number.NaN;
}
