import type { Assumption } from '../core/energy/index.ts';
import { type Problem, UserError, userError } from '../core/units/index.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import {
  assumptionsIn,
  type Kit,
  type Perch,
  type RecordKindName,
  type RecordSource,
  readKit,
  readNet,
  readPerch,
} from '../records/index.ts';
import { kitAssumptions } from './node-of.ts';
import { planSite } from './site.ts';

/** A record as somebody has it in hand: its file's text, or its plain value. */
export type GivenRecord = { readonly text: string } | { readonly value: unknown };

/** A record that holds, with what it takes for granted. */
export interface CheckedRecord {
  readonly name: string;
  /** The record as its file says it, before anything is filled in. */
  readonly value: unknown;
  readonly assumptions: readonly Assumption[];
}

/**
 * Reads a record and checks it; `from` is told as its file in problems with a text, which have lines.
 *
 * @throws UserError with all problems at once
 */
export function checkRecord(kind: RecordKindName, given: GivenRecord, from: string = kind): CheckedRecord {
  const source = sourceOf(given, from);
  if (kind === 'kit') {
    const read = readKit(source);
    const { name, mode } = read.value as Kit;
    const assumptions = [...texts(assumptionsIn(mode, read.assumptions)), ...kitAssumptions(read.value)];
    return { name, value: source.value, assumptions };
  }
  if (kind === 'net') {
    const read = readNet(source);
    return { name: read.value.name, value: source.value, assumptions: texts(read.assumptions) };
  }
  const read = readPerch(source, { weather: weatherOf(source.value) !== undefined });
  const perch: Perch = read.value;
  // A weather file is not at hand here: what follows from it is told when it is computed.
  const more = weatherOf(source.value) === undefined ? planSite(perch).assumptions : [];
  return { name: nameOfPerch(perch), value: source.value, assumptions: [...texts(read.assumptions), ...more] };
}

/** The same as an answer rather than an exception: what is wrong, or what is assumed. */
export function judgeRecord(
  kind: RecordKindName,
  given: GivenRecord,
  from?: string,
): { readonly problems: readonly Problem[]; readonly assumptions: readonly Assumption[] } {
  try {
    return { problems: [], assumptions: checkRecord(kind, given, from).assumptions };
  } catch (error) {
    if (error instanceof UserError) return { problems: error.problems, assumptions: [] };
    throw error;
  }
}

/** A weather file is named by a record that came without its disk. */
export const WEATHER_ELSEWHERE: Problem = {
  code: 'weather-file-elsewhere',
  message:
    'the perch names a weather file, which the workshop does not hold. Use the command line with --weather; or write twelve monthly means into the perch (climate: monthly:), which `sunperch weather FILE` prints; or `climate: nearest` for the nearest built-in one',
  place: { field: 'perch.climate.weather' },
};

/** The weather file that a perch names, if it names one. */
export function weatherOf(perch: unknown): string | undefined {
  const climate = (perch as { climate?: unknown } | null)?.climate;
  const file = typeof climate === 'object' && climate !== null ? (climate as { weather?: unknown }).weather : undefined;
  return typeof file === 'string' ? file : undefined;
}

function sourceOf(given: GivenRecord, from: string): RecordSource {
  if ('text' in given) return parseYamlRecord(given.text, from);
  if (given.value === undefined)
    throw userError('no-record', 'nothing was given: a value or a text is wanted', { file: from });
  return { value: given.value, placeOf: () => ({}), placeOfKey: () => ({}) };
}

function nameOfPerch({ name, latitude_deg, longitude_deg }: Perch): string {
  if (name !== undefined) return name;
  return latitude_deg === undefined || longitude_deg === undefined ? 'perch' : `${latitude_deg}, ${longitude_deg}`;
}

const texts = (list: readonly { field: string; value: unknown; why: string }[]): Assumption[] =>
  list.map(({ field, value, why }) => ({
    field,
    value: typeof value === 'string' ? value : JSON.stringify(value),
    why,
  }));
