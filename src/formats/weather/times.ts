import { MONTH_NAMES } from '../../core/units/index.ts';

/** Days before each month in a year that has a 29 February. */
const LEAP_MONTH_START = [0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366];

/** Days of the leap calendar: every row is placed on 366 days, and 29 February is dropped later. */
export const LEAP_YEAR_DAYS = 366;
export const LEAP_DAY = 59;

/** Day of the leap calendar (0..365) of a month (1..12) and a day, or -1 where there is no such day. */
export function leapDayOfYear(month: number, day: number): number {
  if (!(month >= 1 && month <= 12 && day >= 1)) return -1;
  const start = LEAP_MONTH_START[month - 1]!;
  return day <= LEAP_MONTH_START[month]! - start ? start + day - 1 : -1;
}

/** Month 1..12 of a day of the leap calendar. */
export function monthOfLeapDay(leapDay: number): number {
  let month = 1;
  while (LEAP_MONTH_START[month]! <= leapDay) month++;
  return month;
}

/** `6 May 07:00`, with the year in front of it where one is given: how a row's time is told. */
export function timeText(leapDay: number, hour?: number, year?: number): string {
  const month = monthOfLeapDay(leapDay);
  const date = `${leapDay - LEAP_MONTH_START[month - 1]! + 1} ${MONTH_NAMES[month - 1]}`;
  const dated = year === undefined ? date : `${date} ${year}`;
  return hour === undefined ? dated : `${dated} ${String(hour).padStart(2, '0')}:00`;
}

export interface CivilHour {
  year: number;
  month: number;
  day: number;
  hour: number;
}

export function isLeapYear(year: number): boolean {
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
}

function monthLength(year: number, month: number): number {
  if (month === 2) return isLeapYear(year) ? 29 : 28;
  return LEAP_MONTH_START[month]! - LEAP_MONTH_START[month - 1]!;
}

/** Moves a time of the real calendar by less than a day, in place. */
export function shiftHour(time: CivilHour, by_h: number): void {
  time.hour += by_h;
  if (time.hour < 0) {
    time.hour += 24;
    if (--time.day < 1) {
      if (--time.month < 1) {
        time.month = 12;
        time.year--;
      }
      time.day = monthLength(time.year, time.month);
    }
  } else if (time.hour > 23) {
    time.hour -= 24;
    if (++time.day > monthLength(time.year, time.month)) {
      time.day = 1;
      if (++time.month > 12) {
        time.month = 1;
        time.year++;
      }
    }
  }
}

/** Month and day of the n-th day (from 1) of a real year, or undefined where the year has no such day. */
export function dayOfYearToDate(year: number, dayOfYear: number): { month: number; day: number } | undefined {
  if (!Number.isInteger(dayOfYear) || dayOfYear < 1 || dayOfYear > (isLeapYear(year) ? 366 : 365)) return undefined;
  const leapDay = !isLeapYear(year) && dayOfYear > LEAP_DAY ? dayOfYear : dayOfYear - 1;
  const month = monthOfLeapDay(leapDay);
  return { month, day: leapDay - LEAP_MONTH_START[month - 1]! + 1 };
}
