/** From the text of a file to what the workshop keeps of it. */
import { type Problem, UserError, userError } from '../core/units/index.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import { isMapping, kindOf, type RecordKindName, readKit, readNet, readPerch } from '../records/index.ts';
import type { Summary } from './store-port.ts';

export interface RecordFile extends Summary {
  readonly kind: RecordKindName;
  readonly key: string;
  /** The parsed file. */
  readonly value: unknown;
}

/**
 * Reads a kit, perch or net of whichever kind the file is, and checks it as every command does.
 *
 * @param file name shown in messages; the key of a record without name and position comes from it
 * @param key key of the record; absent: from its name
 * @throws UserError with all problems of the file
 */
export function readRecordFile(text: string, file: string, key?: string): RecordFile {
  const source = parseYamlRecord(text, file);
  const kind = kindOf(source.value);
  if (kind === undefined)
    throw userError(
      'no-record',
      'this is no kit (panel, charger, cells …), no perch (latitude_deg, climate …) and no net (members)',
      { file },
    );
  if (kind === 'kit') readKit(source);
  else if (kind === 'perch') readPerch(source, { weather: true });
  else readNet(source);
  const own = key ?? keyFrom(nameIn(source.value) ?? stem(file), kind);
  return { kind, key: own, value: source.value, ...summaryOf(source.value, own) };
}

/** Name and place as they stand in a parsed file; without name and position it is called by its key. */
export function summaryOf(value: unknown, key: string): Summary {
  const [latitude_deg, longitude_deg, elevation_m] = ['latitude_deg', 'longitude_deg', 'elevation_m'].map((field) =>
    numberIn(value, field),
  ) as [number | null, number | null, number | null];
  return { name: nameIn(value) ?? key, latitude_deg, longitude_deg, elevation_m };
}

function numberIn(value: unknown, field: string): number | null {
  const found = isMapping(value) ? value[field] : undefined;
  return typeof found === 'number' ? found : null;
}

/** The name; a nameless perch is called by its position. */
function nameIn(value: unknown): string | undefined {
  const name = isMapping(value) ? value['name'] : undefined;
  // An escape like "\0" in a quoted name gives what no list can show.
  if (typeof name === 'string') return name.replace(/[\p{Cc}\p{Surrogate}]+/gu, ' ');
  const position = [numberIn(value, 'latitude_deg'), numberIn(value, 'longitude_deg')];
  return position.includes(null) ? undefined : position.join(', ');
}

const stem = (file: string) => file.replace(/^.*[/\\]/, '').replace(/\.[^.]+$/, '');

/** Lower-case letters and digits of any script, joined by single hyphens or points: safe as a file name everywhere. */
const KEY = /^[\p{L}\p{M}\p{N}]+(?:[-.][\p{L}\p{M}\p{N}]+)*$/u;
const KEY_LONGEST = 80;

export const isKey = (text: string): boolean =>
  KEY.test(text) && text.length <= KEY_LONGEST && text === text.toLowerCase() && text === text.normalize('NFC');

/** `Hut Kaldra` becomes `hut-kaldra`; marks on Latin letters go. */
export function keyFrom(name: string, kind: RecordKindName): string {
  const plain = name
    .normalize('NFKD')
    .replace(/[\u0300-\u036f]/g, '')
    .normalize('NFC')
    .toLowerCase();
  const words = plain.match(/[\p{L}\p{M}\p{N}]+(?:\.\p{N}+)*/gu) ?? [];
  return (
    words
      .join('-')
      .slice(0, KEY_LONGEST)
      .replace(/[-.]+$/, '') || kind
  );
}

export function checkKey(key: string, field: string): void {
  if (isKey(key)) return;
  throw userError(
    'bad-key',
    `${field} is '${key.slice(0, 90)}': a key has lower-case letters, digits and single hyphens, ${KEY_LONGEST} at most, e.g. ${keyFrom(key, 'kit')}`,
    { field },
  );
}

/** Runs one piece of work after the other and tells the problems of all together. */
export async function allOrProblems<T>(works: readonly (() => Promise<T>)[]): Promise<T[]> {
  const results: T[] = [];
  const problems: Problem[] = [];
  for (const work of works) {
    try {
      results.push(await work());
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      problems.push(...error.problems);
    }
  }
  if (problems.length > 0) throw new UserError(problems);
  return results;
}
