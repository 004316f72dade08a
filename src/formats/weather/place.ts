import type { ReadContext } from './problems.ts';
import { offsetText } from './problems.ts';
import type { DraftPlace, FilePlace } from './types.ts';

/** Clock time strays this far from solar time in no country (most: 3 h, in the far west of China; from memory). */
const FURTHEST_FROM_SUN_h = 4;

/** Line and field of the header in which a part of the place stands. */
export type PlaceFields = Partial<Record<keyof FilePlace, { line?: number; field?: string }>>;

/**
 * Joins what the header says with what the user states beside the file (which wins), checks it and tells what is wrong
 * or assumed. Undefined where the place cannot be used.
 */
export function checkPlace(
  draft: DraftPlace,
  stated: Partial<FilePlace>,
  fields: PlaceFields,
  context: ReadContext,
): FilePlace | undefined {
  const { problems, notes } = context;
  const before = problems.count;
  const joined: DraftPlace = { ...draft, ...stated };
  for (const key of ['latitude_deg', 'longitude_deg', 'elevation_m', 'utcOffset_h'] as const) {
    if (stated[key] === undefined || draft[key] === undefined || draft[key] === stated[key]) continue;
    notes.push(`${key} is ${stated[key]} as stated, not ${draft[key]} as in the file.`);
  }
  const number = (key: keyof FilePlace, low: number, high: number, needed: boolean, hint: string) => {
    const value = joined[key];
    if (value === undefined) {
      if (needed) problems.add('weather.place', `The file does not say its ${key}${hint}.`, { field: key });
      return undefined;
    }
    if (typeof value === 'number' && value >= low && value <= high) return value;
    const shown = Number.isNaN(value) ? 'blank' : value === Number.POSITIVE_INFINITY ? 'no number' : value;
    problems.add('weather.place', `${key} is ${shown}: it lies between ${low} and ${high}${hint}.`, {
      field: key,
      ...fields[key],
    });
    return undefined;
  };
  const latitude_deg = number('latitude_deg', -90, 90, true, ', north positive');
  const longitude_deg = number('longitude_deg', -180, 180, true, ', east positive');
  const elevation_m = number('elevation_m', -500, 9000, false, ' m');
  let utcOffset_h = number('utcOffset_h', -12, 14, false, ' h, of local standard time');
  if (problems.count > before || latitude_deg === undefined || longitude_deg === undefined) return undefined;

  if (utcOffset_h === undefined) {
    utcOffset_h = Math.round(longitude_deg / 15);
    notes.push(`The UTC offset is not stated: ${offsetText(utcOffset_h)} h is taken from the longitude.`);
  }
  // Across the date line clock and longitude may differ by a whole day, which is no fault.
  const apart = utcOffset_h - longitude_deg / 15;
  const fromSun = apart - 24 * Math.round(apart / 24);
  if (Math.abs(fromSun) > FURTHEST_FROM_SUN_h) {
    problems.add(
      'weather.utcOffset',
      `A UTC offset of ${offsetText(utcOffset_h)} h does not fit longitude ${longitude_deg}°, where the sun keeps ${offsetText(longitude_deg / 15)} h: is the sign of the longitude right (east is positive)?`,
      fields.utcOffset_h ?? {},
    );
    return undefined;
  }
  const name = joined.name?.trim();
  return {
    ...(name === undefined || name === '' ? {} : { name }),
    latitude_deg,
    longitude_deg,
    ...(elevation_m === undefined ? {} : { elevation_m }),
    utcOffset_h,
  };
}
