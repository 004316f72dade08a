import Papa from 'papaparse';
import { UserError } from '../core/units/index.ts';
import { FileProblems, parseNumber, shorten } from './file-problems.ts';
import { readGeoJson } from './geojson.ts';
import { parseYamlRecord } from './yaml-record.ts';

/** A named place, of a list of places to be reached or of candidates for a perch. */
export interface ListedPlace {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  /** Antenna above the ground there; undefined: as told on the command line. */
  readonly height_m: number | undefined;
  /** How one gets there, in words; undefined: not told. */
  readonly access: string | undefined;
}

const FORM =
  'Wanted are a GeoJSON file of points with a name each, a CSV file whose first line reads name,latitude_deg,longitude_deg[,height_m[,access]], or a YAML list with these keys.';
const TITLES: Readonly<Record<string, keyof ListedPlace>> = {
  name: 'name',
  latitude_deg: 'latitude_deg',
  lat: 'latitude_deg',
  longitude_deg: 'longitude_deg',
  lon: 'longitude_deg',
  height_m: 'height_m',
  access: 'access',
};
const MOST = 10_000;

/**
 * Reads named places from GeoJSON, CSV or YAML, told apart by their text; a place without a name is called by its number.
 *
 * @throws UserError with line or number of every fault (the first twenty): coordinates off the Earth, a name that stands twice, no place at all
 */
export function readPlaces(text: string, file: string): ListedPlace[] {
  const problems = new FileProblems('places', file);
  const head = text.replace(/^\ufeff/, '').trimStart();
  const found = head.startsWith('{')
    ? fromGeoJson(text, file, problems)
    : head.startsWith('-') || head.startsWith('[') || /^\s*(#[^\n]*\n\s*)*-\s/.test(text)
      ? fromYaml(text, file, problems)
      : fromCsv(text, problems);
  const before = new Map<string, number>();
  found.forEach(({ name }, i) => {
    const first = before.get(name);
    if (first === undefined) before.set(name, i);
    else
      problems.add(
        'twice',
        `Places ${first + 1} and ${i + 1} are both called ${shorten(name)}: names tell them apart.`,
      );
  });
  if (found.length === 0 && problems.list.length === 0) problems.add('empty', `The file holds no place. ${FORM}`);
  if (found.length > MOST) problems.add('size', `The file holds ${found.length} places: at most ${MOST} are read.`);
  if (problems.list.length > 0) throw new UserError(problems.list);
  return found;
}

/** One place from loose values; undefined after telling what is wrong. */
function place(
  value: Readonly<Record<string, unknown>>,
  at: string,
  number: number,
  problems: FileProblems,
  line?: number,
): ListedPlace | undefined {
  const read = (field: 'latitude_deg' | 'longitude_deg' | 'height_m', low: number, high: number, what: string) => {
    const given = value[field];
    if (given === undefined || given === null || given === '') return undefined;
    const n = typeof given === 'number' ? given : parseNumber(String(given).trim());
    if (n >= low && n <= high) return n;
    problems.add('range', `${at}: ${field} is ${shorten(String(given))}: ${what}.`, line, field);
    return Number.NaN;
  };
  const latitude_deg = read('latitude_deg', -90, 90, 'a latitude lies between -90 and 90');
  const longitude_deg = read('longitude_deg', -180, 180, 'a longitude lies between -180 and 180');
  const height_m = read('height_m', 0.1, 300, 'an antenna stands 0.1 to 300 m above the ground');
  if (latitude_deg === undefined || longitude_deg === undefined)
    problems.add('missing', `${at}: latitude_deg and longitude_deg are both wanted. ${FORM}`, line);
  if (![latitude_deg, longitude_deg, height_m ?? 0].every(Number.isFinite)) return undefined;
  const word = (v: unknown) => (typeof v === 'string' || typeof v === 'number' ? String(v).trim() : '');
  return {
    name: word(value['name']).slice(0, 100) || `place ${number}`,
    latitude_deg: latitude_deg!,
    longitude_deg: longitude_deg!,
    height_m,
    access: word(value['access']).slice(0, 300) || undefined,
  };
}

const kept = (p: ListedPlace | undefined): ListedPlace[] => (p === undefined ? [] : [p]);

function fromGeoJson(text: string, file: string, problems: FileProblems): ListedPlace[] {
  return readGeoJson(text, file).points.flatMap((p, i) => {
    if (problems.full) return [];
    const { latitude_deg, longitude_deg, properties } = p;
    // A turn too many is GeoJSON's way over the date line.
    const turned = longitude_deg - 360 * Math.round(longitude_deg / 360);
    return kept(place({ ...properties, latitude_deg, longitude_deg: turned }, `Feature ${p.feature}`, i + 1, problems));
  });
}

function fromYaml(text: string, file: string, problems: FileProblems): ListedPlace[] {
  const { value, placeOf } = parseYamlRecord(text, file);
  if (!Array.isArray(value)) {
    problems.add('form', `The file is no list. ${FORM}`);
    return [];
  }
  return value.flatMap((item: unknown, i) => {
    const { line } = placeOf([i]);
    if (typeof item !== 'object' || item === null || Array.isArray(item)) {
      problems.add('form', `Entry ${i + 1} is no mapping. ${FORM}`, line);
      return [];
    }
    return kept(place(item as Record<string, unknown>, `Entry ${i + 1}`, i + 1, problems, line));
  });
}

function fromCsv(text: string, problems: FileProblems): ListedPlace[] {
  if (text.length > 20_000_000 || text.includes('\u0000')) {
    problems.add('text', `The file is no list of places: it is too large or no text. ${FORM}`);
    return [];
  }
  const lines = text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
  const isData = (line: string) => line.trim() !== '' && !line.trimStart().startsWith('#');
  const header = lines.findIndex(isData);
  if (header < 0) return [];
  const delimiter = [',', ';', '\t'].find((sign) => lines[header]!.includes(sign)) ?? ',';
  const split = (line: string) => Papa.parse<string[]>(line, { delimiter }).data[0] ?? [];
  const titles = split(lines[header]!).map((t) => {
    const key = t.trim().toLowerCase();
    return Object.hasOwn(TITLES, key) ? TITLES[key] : undefined;
  });
  if (!titles.includes('latitude_deg') || !titles.includes('longitude_deg')) {
    problems.add('header', `The first line lacks latitude_deg or longitude_deg. ${FORM}`, header + 1);
    return [];
  }
  const found: ListedPlace[] = [];
  let row = 0;
  for (let at = header + 1; at < lines.length && !problems.full; at++) {
    if (!isData(lines[at]!)) continue;
    const cells = split(lines[at]!);
    const value: Record<string, unknown> = {};
    titles.forEach((title, i) => {
      if (title !== undefined) value[title] = cells[i]?.trim();
    });
    row++;
    found.push(...kept(place(value, `Row ${row}`, row, problems, at + 1)));
  }
  return found;
}
