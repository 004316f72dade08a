import { type FileProblems, parseNumber, shorten } from './file-problems.ts';

/** What the bracketed keywords of a version 2 file say; a version 1 file has none. */
export interface TouchstoneHead {
  readonly version: 1 | 2;
  readonly reference_Ohm: number | undefined;
  /** [Number of Frequencies] */
  readonly announced: number | undefined;
  /** Lines (from 0) that belong to keywords and hold no data. */
  readonly keywordLines: ReadonlySet<number>;
  /** First line that may hold data, and the line after the last. */
  readonly dataLine: number;
  readonly endLine: number;
}

/** Keywords that say nothing about a one-port and are passed over. */
const PASSED_OVER = new Set([
  'two-port data order',
  'matrix format',
  'mixed-mode order',
  'number of noise frequencies',
]);

/** Reads the keywords of version 2 and tells through `problems` what is wrong with them. */
export function readKeywords(lines: readonly string[], problems: FileProblems, notes: string[]): TouchstoneHead {
  const keywordLines = new Set<number>();
  let version: 1 | 2 = 1;
  let ports: number | undefined;
  let reference_Ohm: number | undefined;
  let announced: number | undefined;
  let dataLine = -1;
  let endLine = lines.length;
  let information = -1;

  for (let at = 0; at < lines.length && !problems.full; at++) {
    const line = lines[at]!.split('!', 1)[0]!.trim();
    if (information >= 0 || line.startsWith('[')) keywordLines.add(at);
    else continue;
    const found = /^\[\s*([^\]]*?)\s*\]\s*(.*)$/.exec(line);
    if (information >= 0) {
      if (found && plain(found[1]!) === 'end information') information = -1;
      continue;
    }
    if (!found) {
      problems.add('keyword', `"${shorten(line)}" opens a keyword and does not close it with ].`, at + 1);
      continue;
    }
    const key = plain(found[1]!);
    const value = found[2]!;
    if (version === 1 && key !== 'version') {
      problems.add(
        'version',
        `[${shorten(found[1]!)}] stands before [Version] 2.0: keywords belong to version 2, which says so first.`,
        at + 1,
      );
      break;
    }
    if (key === 'version') {
      if (version === 2) problems.add('version', '[Version] stands a second time.', at + 1);
      else if (!/^2(\.\d)?$/.test(value))
        problems.add('version', `The version is "${shorten(value)}": 2.0 is read with keywords, 1.1 without.`, at + 1);
      version = 2;
    } else if (key === 'number of ports') {
      ports = parseNumber(value);
      if (ports !== 1) problems.add('ports', portsSentence(value), at + 1);
    } else if (key === 'number of frequencies') {
      announced = parseNumber(value);
      if (!(Number.isInteger(announced) && announced > 0)) {
        problems.add(
          'count',
          `[Number of Frequencies] is "${shorten(value)}": a whole number above 0 is needed.`,
          at + 1,
        );
        announced = undefined;
      }
    } else if (key === 'reference') {
      const [text, line1] = value === '' ? nextValue(lines, at) : [value, -1];
      if (line1 >= 0) keywordLines.add(line1);
      reference_Ohm = parseNumber(text);
      if (!(reference_Ohm > 0 && reference_Ohm <= 1e5)) {
        problems.add(
          'reference',
          `[Reference] is "${shorten(text)}": one resistance in ohms is needed, most often 50.`,
          at + 1,
        );
        reference_Ohm = undefined;
      }
    } else if (key === 'begin information') information = at;
    else if (key === 'network data') {
      if (dataLine >= 0) problems.add('keyword', '[Network Data] stands a second time.', at + 1);
      dataLine = at + 1;
    } else if (key === 'end' || key === 'noise data') {
      if (key === 'noise data') notes.push(`Line ${at + 1}: noise data are passed over.`);
      endLine = at;
      break;
    } else if (!PASSED_OVER.has(key))
      problems.add('keyword', `[${shorten(found[1]!)}] is no keyword of Touchstone 2.0.`, at + 1);
  }

  if (version === 2) {
    if (information >= 0)
      problems.add('keyword', '[Begin Information] is never ended by [End Information].', information + 1);
    if (ports === undefined)
      problems.add('ports', '[Number of Ports] is missing: a version 2 file says how many it has.');
    if (dataLine < 0) problems.add('keyword', '[Network Data] is missing: it stands above the rows.');
    if (endLine === lines.length && problems.list.length === 0)
      notes.push('[End] is missing: the file may be cut off.');
  }
  return { version, reference_Ohm, announced, keywordLines, dataLine: Math.max(dataLine, 0), endLine };
}

function plain(keyword: string): string {
  return keyword.toLowerCase().replace(/\s+/g, ' ');
}

function portsSentence(value: string): string {
  const ports = parseNumber(value);
  return Number.isInteger(ports) && ports > 1
    ? `The file is of ${ports} ports: an antenna has one. Export the reflection at one port, S11, as .s1p.`
    : `[Number of Ports] is "${shorten(value)}": it is 1 for an antenna.`;
}

/** [Reference] may put its value on the next line that is not empty. */
function nextValue(lines: readonly string[], from: number): [string, number] {
  for (let at = from + 1; at < lines.length; at++) {
    const line = lines[at]!.split('!', 1)[0]!.trim();
    if (line !== '') return line.startsWith('[') || line.startsWith('#') ? ['', -1] : [line, at];
  }
  return ['', -1];
}
