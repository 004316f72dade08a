import type { Sweep } from '../core/antenna/index.ts';
import { UserError } from '../core/units/index.ts';
import { FileProblems, parseNumber, shorten } from './file-problems.ts';
import { readKeywords, type TouchstoneHead } from './touchstone-keywords.ts';
import { DEFAULT_OPTIONS, parseOptionLine, type TouchstoneOptions } from './touchstone-options.ts';

export interface TouchstoneFile {
  /** S11 against the file's own reference resistance; Y and Z are turned into it. */
  readonly sweep: Sweep;
  readonly version: 1 | 2;
  readonly options: TouchstoneOptions;
  /** What was taken for granted or looks odd, in words. */
  readonly notes: readonly string[];
}

/** No analyser writes more points. */
const MOST_POINTS = 200_001;
const MOST_CHARACTERS = 50_000_000;
/** 10 THz: a frequency above it is given in the wrong unit. */
const HIGHEST_MHz = 1e7;

/**
 * Reads a one-port Touchstone file, version 1.1 or 2.0.
 *
 * Source: Touchstone File Format Specification (EIA/IBIS), versions 1.1 and 2.0. All orders and cases of the option line, `!`
 * comments, RI, MA and DB, S, Y and Z (in version 1 Y and Z are relative to R, in version 2 they are siemens and ohms), units from
 * Hz to GHz. A missing option line means GHz, S, MA, R 50, as the standard says, and a note tells so; a second option line is
 * passed over with a note. Checked against the example files of the standard and three synthetic sweeps of one antenna.
 *
 * @throws UserError with the line of every fault (the first twenty): two ports, a value that is no number, frequencies that do not
 * rise, a row of another length, an option or keyword that is none, fewer rows than announced, no data.
 */
export function readTouchstone(text: string, file?: string): TouchstoneFile {
  const problems = new FileProblems('touchstone', file);
  const notes: string[] = [];
  if (text.length > MOST_CHARACTERS) {
    problems.add('size', `The file has ${text.length} characters: that is no sweep of one antenna.`);
    throw new UserError(problems.list);
  }
  if (text.includes('\u0000')) {
    problems.add(
      'binary',
      'The file holds zero bytes: it is no text, so no Touchstone file. Export the sweep again as .s1p.',
    );
    throw new UserError(problems.list);
  }
  const lines = text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
  const head = readKeywords(lines, problems, notes);
  const parts = readRows(lines, head, problems, notes);
  if (problems.list.length > 0) throw new UserError(problems.list);
  const sweep = toReflection(parts, head.version, problems);
  if (problems.list.length > 0) throw new UserError(problems.list);
  noteOddities(sweep, notes);
  return { sweep, version: head.version, options: parts.options, notes };
}

interface Rows {
  readonly options: TouchstoneOptions;
  readonly frequency_MHz: number[];
  readonly re: number[];
  readonly im: number[];
}

function readRows(lines: readonly string[], head: TouchstoneHead, problems: FileProblems, notes: string[]): Rows {
  let options = DEFAULT_OPTIONS;
  let optionLine = 0;
  const frequency_MHz: number[] = [];
  const re: number[] = [];
  const im: number[] = [];
  let before = Number.NEGATIVE_INFINITY;
  let rows = 0;
  for (let at = 0; at < head.endLine && !problems.full; at++) {
    const line = lines[at]!.split('!', 1)[0]!.trim();
    if (line === '' || head.keywordLines.has(at)) continue;
    if (line.startsWith('#')) {
      if (optionLine > 0)
        notes.push(
          `Line ${at + 1}: a second option line is passed over, as the standard says; line ${optionLine} holds.`,
        );
      else if (rows > 0)
        problems.add('options', 'The option line stands after the first data: it belongs above them.', at + 1);
      else {
        optionLine = at + 1;
        options = parseOptionLine(line.slice(1), (code, message) => problems.add(code, message, at + 1));
        if (head.reference_Ohm !== undefined) options = { ...options, reference_Ohm: head.reference_Ohm };
      }
      continue;
    }
    if (at < head.dataLine) {
      problems.add('data', `Data stand before [Network Data]: "${shorten(line)}".`, at + 1);
      continue;
    }
    const words = line.split(/\s+/);
    if (words.length !== 3) {
      problems.add('columns', columnsSentence(words), at + 1);
      // One row of a two-port or of prose says all: the rest would only repeat it.
      if (rows === 0 && words.length > 3) break;
      continue;
    }
    const [f, a, b] = words.map(parseNumber) as [number, number, number];
    const bad = [f, a, b].findIndex(Number.isNaN);
    if (bad >= 0) {
      problems.add(
        'number',
        `"${shorten(words[bad]!)}" stands where ${COLUMN[bad]} should: a number is needed.`,
        at + 1,
      );
      continue;
    }
    rows++;
    if (rows > MOST_POINTS) {
      problems.add('size', `There are more than ${MOST_POINTS} points: thin the sweep out.`, at + 1);
      break;
    }
    const f_MHz = f * options.unit_MHz;
    if (f < 0 || f_MHz > HIGHEST_MHz) {
      const guess =
        optionLine === 0 ? ' There is no option line, so GHz is taken: add one such as "# Hz S MA R 50".' : '';
      problems.add(
        'frequency',
        `The frequency is ${f} ${options.unitName}: that is beyond any antenna.${guess}`,
        at + 1,
      );
      break;
    }
    if (f_MHz <= before)
      problems.add(
        'order',
        `${f} ${options.unitName} does not rise above the row before: sort the rows, and drop doubles.`,
        at + 1,
      );
    before = f_MHz;
    const [x, y] = toParts(options.format, a, b);
    frequency_MHz.push(f_MHz);
    re.push(x);
    im.push(y);
  }
  if (optionLine === 0 && problems.list.length === 0 && rows > 0) {
    notes.push('There is no option line: GHz, S, magnitude and angle, 50 Ω are taken, as the standard says.');
    if (head.reference_Ohm !== undefined) options = { ...options, reference_Ohm: head.reference_Ohm };
  }
  if (rows === 0 && problems.list.length === 0)
    problems.add('empty', 'The file has no data: rows of a frequency and two numbers are needed.');
  if (head.announced !== undefined && rows !== head.announced && problems.list.length === 0)
    problems.add(
      'count',
      `[Number of Frequencies] says ${head.announced}, but ${rows} rows stand in the file: it may be cut off.`,
    );
  return { options, frequency_MHz, re, im };
}

const COLUMN = ['a frequency', 'the first part of the value', 'the second part of the value'];

function columnsSentence(words: readonly string[]): string {
  if (words.length === 9 && words.every((word) => !Number.isNaN(parseNumber(word))))
    return 'The row has nine numbers: the file is of a two-port (.s2p). Export the reflection at one port, S11, as .s1p.';
  if (words.length > 3)
    return `The row has ${words.length} fields, not 3: one port needs a frequency and two numbers. A file of more ports does not fit here.`;
  return `The row "${shorten(words.join(' '))}" has ${words.length} field${words.length === 1 ? '' : 's'}, not 3: a frequency and two numbers are needed.`;
}

function toParts(format: TouchstoneOptions['format'], a: number, b: number): [number, number] {
  if (format === 'RI') return [a, b];
  const size = format === 'DB' ? 10 ** (a / 20) : a;
  const angle_rad = (b * Math.PI) / 180;
  return [size * Math.cos(angle_rad), size * Math.sin(angle_rad)];
}

/** Turns Z or Y into S11 in place of the parts: S = (z-1)/(z+1) = (1-y)/(1+y), z and y relative to the reference. */
function toReflection(parts: Rows, version: 1 | 2, problems: FileProblems): Sweep {
  const { options, frequency_MHz } = parts;
  const n = frequency_MHz.length;
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  // Version 1 stores Z/R and Y·R, version 2 stores ohms and siemens.
  const scale =
    version === 1 || options.parameter === 'S'
      ? 1
      : options.parameter === 'Z'
        ? 1 / options.reference_Ohm
        : options.reference_Ohm;
  const sign = options.parameter === 'Y' ? -1 : 1;
  for (let i = 0; i < n; i++) {
    const a = parts.re[i]! * scale;
    const b = parts.im[i]! * scale;
    if (options.parameter === 'S') {
      re[i] = a;
      im[i] = b;
    } else {
      const size = (a + 1) * (a + 1) + b * b;
      re[i] = (sign * (a * a - 1 + b * b)) / size;
      im[i] = (sign * 2 * b) / size;
    }
    if (!(Math.hypot(re[i]!, im[i]!) < 1e3) && !problems.full)
      problems.add(
        'value',
        `At ${frequency_MHz[i]} MHz the reflection is beyond all sense: |S11| is no number or above 1000.`,
      );
  }
  return { frequency_MHz: Float64Array.from(frequency_MHz), re, im, reference_Ohm: options.reference_Ohm };
}

function noteOddities(sweep: Sweep, notes: string[]): void {
  let over = 0;
  let most = 0;
  for (let i = 0; i < sweep.re.length; i++) {
    const gamma = Math.hypot(sweep.re[i]!, sweep.im[i]!);
    if (gamma > 1 + 1e-6) over++;
    most = Math.max(most, gamma);
  }
  if (over > 0)
    notes.push(
      `${over} point${over === 1 ? ' reflects' : 's reflect'} more than is sent (|S11| up to ${most.toPrecision(4)}), which no antenna does: calibrate the analyser again.`,
    );
  if (sweep.reference_Ohm !== 50)
    notes.push(
      `The sweep refers to ${sweep.reference_Ohm} Ω, not 50 Ω: standing-wave ratios are against ${sweep.reference_Ohm} Ω.`,
    );
}
