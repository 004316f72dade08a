import { erbsHourly, type SunYear } from '../../core/sun/index.ts';
import { MONTH_START } from '../../core/units/index.ts';
import { fillGaps, LONGEST_FILLED_h, missingRuns } from './gaps.ts';
import type { ReadContext } from './problems.ts';
import { count, counted, offsetText } from './problems.ts';
import type { SeriesRows } from './rows.ts';
import { LEAP_DAY } from './times.ts';
import type { FilePlace } from './types.ts';

/** Beam at normal incidence never exceeds this on the ground; judgement, above the 1100 W/m² of very clear high places. */
const BEAM_LIMIT_W_m2 = 1200;
/** Radiation this far off solar noon, averaged over the file, means a wrong time zone; half of that is told. Judgement. */
const LAG_ERROR_h = 1.5;
const LAG_NOTE_h = 0.75;

/** Hour of the year of 365 days (0..8759) of a row that is not on 29 February. */
export function hourOfYear(rows: SeriesRows, i: number): number {
  const slot = rows.slot[i]!;
  return slot < LEAP_DAY * 24 ? slot : slot - 24;
}

/**
 * Makes GHI, DNI and DHI whole: night hours without value are dark, GHI is summed from its parts where it alone is
 * missing, short gaps are filled, and what is missing of DNI and DHI follows from GHI, by the Erbs, Klein & Duffie
 * (1982) correlation where there is neither. Each step is told.
 */
export function completeRadiation(rows: SeriesRows, sun: SunYear, context: ReadContext): void {
  const ghi = rows.values['ghi_W_m2']!;
  const absent = (name: string) => rows.values[name] === undefined;
  const noDni = absent('dni_W_m2');
  const noDhi = absent('dhi_W_m2');
  if (noDni) rows.values['dni_W_m2'] = new Float32Array(rows.length).fill(Number.NaN);
  if (noDhi) rows.values['dhi_W_m2'] = new Float32Array(rows.length).fill(Number.NaN);
  const dni = rows.values['dni_W_m2']!;
  const dhi = rows.values['dhi_W_m2']!;

  const runs = missingRuns(ghi, rows.length);
  let night = 0;
  let summed = 0;
  for (let i = 0; i < rows.length; i++) {
    if (ghi[i]! >= 0) continue;
    const hour = hourOfYear(rows, i);
    if (sun.extraterrestrialHorizontal_Wh_m2[hour]! <= 0) {
      ghi[i] = 0;
      night++;
    } else if (dhi[i]! >= 0 && dni[i]! >= 0) {
      ghi[i] = dhi[i]! + dni[i]! * Math.max(0, sun.up[hour]!);
      summed++;
    }
  }
  if (night > 0) context.notes.push(`ghi_W_m2: ${counted(night, 'missing night hour')} set to 0.`);
  if (summed > 0) context.notes.push(`ghi_W_m2: ${counted(summed, 'missing value')} summed from beam and diffuse.`);
  fillGaps(rows, 'ghi_W_m2', LONGEST_FILLED_h.radiation, context, runs);

  let split = 0;
  let derived = 0;
  for (let i = 0; i < rows.length; i++) {
    const global = ghi[i]!;
    const hasDni = dni[i]! >= 0;
    const hasDhi = dhi[i]! >= 0;
    if (hasDni && hasDhi) continue;
    const hour = hourOfYear(rows, i);
    const top = sun.extraterrestrialHorizontal_Wh_m2[hour]!;
    if (!(global > 0) || top <= 0) {
      if (!hasDni) dni[i] = 0;
      if (!hasDhi) dhi[i] = Math.max(0, global);
      continue;
    }
    // Mean sine of the elevation over the hour, sunrise and sunset included.
    const sine = top / sun.extraterrestrialNormal_W_m2[Math.floor(hour / 24)]!;
    if (hasDni) {
      dhi[i] = Math.max(0, global - dni[i]! * sine);
      derived++;
    } else {
      if (hasDhi) derived++;
      else {
        dhi[i] = global * erbsHourly(global / top);
        split++;
      }
      dni[i] = Math.min(BEAM_LIMIT_W_m2, Math.max(0, (global - dhi[i]!) / sine));
    }
  }
  if (split > 0) {
    context.notes.push(
      noDni && noDhi
        ? 'The file has neither beam nor diffuse radiation: both are split from ghi_W_m2 by Erbs (1982).'
        : `Beam and diffuse are split from ghi_W_m2 by Erbs (1982) in ${counted(split, 'hour')} without either.`,
    );
  }
  if (derived > 0) {
    const which = noDni ? 'dni_W_m2' : noDhi ? 'dhi_W_m2' : 'dni_W_m2 or dhi_W_m2';
    context.notes.push(`${which} follows from the other two in ${counted(derived, 'hour')}.`);
  }
}

/** Tells where beam and diffuse do not add up to the global radiation; only for files that give all three. */
export function checkClosure(rows: SeriesRows, sun: SunYear, notes: string[]): void {
  const { ghi_W_m2: ghi, dni_W_m2: dni, dhi_W_m2: dhi } = rows.values;
  if (ghi === undefined || dni === undefined || dhi === undefined) return;
  let beam = 0;
  let rest = 0;
  for (let i = 0; i < rows.length; i++) {
    const up = sun.up[hourOfYear(rows, i)]!;
    const closes = ghi[i]! - dhi[i]! + dni[i]!;
    if (!(up > 0) || Number.isNaN(closes)) continue;
    beam += dni[i]! * up;
    rest += ghi[i]! - dhi[i]!;
  }
  if (beam <= 0 && rest <= 0) return;
  const ratio = beam / rest;
  if (Math.abs(ratio - 1) <= 0.05) return;
  notes.push(
    rest <= 0
      ? 'Diffuse is not less than global radiation although there is beam: the three do not fit together.'
      : `Beam times the sine of the elevation sums to ${ratio.toFixed(2)} of global less diffuse: the three do not fit together, and a steep panel's harvest is that uncertain.`,
  );
}

/**
 * How much later than the sun the radiation of the rows comes, in hours (-12..12): the phase of each day's radiation
 * within 24 h against that of the radiation above the atmosphere, averaged with the energy as weight. A phase takes no
 * harm from a day that is cut at midnight, as happens when the time zone is far off.
 */
export function solarLag_h(rows: SeriesRows, sun: SunYear): number {
  const cosine = Float64Array.from({ length: 24 }, (_, h) => Math.cos((2 * Math.PI * (h + 0.5)) / 24));
  const sine = Float64Array.from({ length: 24 }, (_, h) => Math.sin((2 * Math.PI * (h + 0.5)) / 24));
  const topX = new Float64Array(365);
  const topY = new Float64Array(365);
  for (let hour = 0; hour < 8760; hour++) {
    const day = Math.floor(hour / 24);
    topX[day] = topX[day]! + sun.extraterrestrialHorizontal_Wh_m2[hour]! * cosine[hour % 24]!;
    topY[day] = topY[day]! + sun.extraterrestrialHorizontal_Wh_m2[hour]! * sine[hour % 24]!;
  }
  const ghi = rows.values['ghi_W_m2']!;
  let real = 0;
  let imaginary = 0;
  for (let i = 0; i < rows.length; i++) {
    if (!(ghi[i]! > 0)) continue;
    const hour = hourOfYear(rows, i);
    const day = Math.floor(hour / 24);
    const length = Math.hypot(topX[day]!, topY[day]!);
    if (length < 1) continue;
    const x = (ghi[i]! * cosine[hour % 24]!) / length;
    const y = (ghi[i]! * sine[hour % 24]!) / length;
    real += x * topX[day]! + y * topY[day]!;
    imaginary += y * topX[day]! - x * topY[day]!;
  }
  return (Math.atan2(imaginary, real) * 24) / (2 * Math.PI);
}

/** Problems and notes on radiation that does not fit the stated place, time zone or latitude. */
export function checkAgainstSun(rows: SeriesRows, sun: SunYear, place: FilePlace, context: ReadContext): void {
  const ghi = rows.values['ghi_W_m2']!;
  let sum = 0;
  for (let i = 0; i < rows.length; i++) if (ghi[i]! > 0) sum += ghi[i]!;
  if (sum <= 0) {
    context.problems.add('weather.dark', 'ghi_W_m2 is 0 in every row: the file has no sunlight.', {
      field: 'ghi_W_m2',
    });
    return;
  }
  const lag = solarLag_h(rows, sun);
  const size = Math.abs(lag);
  if (size > LAG_NOTE_h) {
    const told = `Radiation peaks ${size.toFixed(1)} h ${lag > 0 ? 'after' : 'before'} solar noon of the stated place and time zone`;
    if (size > LAG_ERROR_h) {
      context.problems.add(
        'weather.timeZone',
        `${told}: is the UTC offset ${offsetText(place.utcOffset_h)} right for longitude ${place.longitude_deg}°, and are the times local standard time?`,
        { field: 'utcOffset_h' },
      );
      return;
    }
    context.notes.push(
      `${told}: an hour may be counted by its end instead of its beginning, or daylight saving be in.`,
    );
  }
  checkAboveAtmosphere(rows, sun, context);
}

function checkAboveAtmosphere(rows: SeriesRows, sun: SunYear, context: ReadContext): void {
  const ghi = rows.values['ghi_W_m2']!;
  const top = sun.extraterrestrialHorizontal_Wh_m2;
  const monthGhi = new Float64Array(12);
  const monthHours = new Float64Array(12);
  const monthTop = new Float64Array(12);
  const monthOfDay = new Uint8Array(365);
  for (let day = 0, month = 0; day < 365; day++) {
    if (day === MONTH_START[month + 1]) month++;
    monthOfDay[day] = month;
  }
  let above = 0;
  let first = -1;
  for (let i = 0; i < rows.length; i++) {
    const hour = hourOfYear(rows, i);
    const month = monthOfDay[Math.floor(hour / 24)]!;
    // A file may be shifted by up to an hour, so the best of three hours counts.
    const most = Math.max(top[hour]!, top[(hour + 1) % 8760]!, top[(hour + 8759) % 8760]!);
    if (ghi[i]! > 1.5 * most + 20 && above++ === 0) first = i;
    if (!(ghi[i]! >= 0)) continue;
    monthGhi[month] = monthGhi[month]! + ghi[i]!;
    monthTop[month] = monthTop[month]! + top[hour]!;
    monthHours[month] = monthHours[month]! + 1;
  }
  if (above > 0) {
    context.problems.add(
      'weather.aboveAtmosphere',
      `ghi_W_m2 is more than 1.5 times what reaches the top of the atmosphere in ${counted(above, 'hour')}, first ${count(Math.round(ghi[first]!))} W/m² in ${rows.where(first)}: are latitude, longitude and unit right?`,
      rows.place(first, 'ghi_W_m2'),
    );
    return;
  }
  for (let month = 0; month < 12; month++) {
    // Below 10 W/m² (polar winter) twilight and the zero of the instrument count more than the sun.
    const limit = monthTop[month]! / monthHours[month]!;
    const mean = monthGhi[month]! / monthHours[month]!;
    if (!(limit > 10 && mean > limit)) continue;
    context.problems.add(
      'weather.aboveAtmosphere',
      `The mean ghi_W_m2 of month ${month + 1} is ${Math.round(mean)} W/m² and the sun gives ${Math.round(limit)} W/m² above the atmosphere there: is the sign of the latitude right (north is positive)?`,
      { field: 'ghi_W_m2' },
    );
  }
}
