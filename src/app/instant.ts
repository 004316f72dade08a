/** Moments in ISO 8601 to and from numbers. Pure: no clock and no time zone of the machine. */
import { DAYS_IN_MONTH, userError } from '../core/units/index.ts';

/** A moment and the clock that it was told by. */
export interface Instant {
  /** Milliseconds since 1970-01-01T00:00Z, leap seconds not counted. */
  readonly unix_ms: number;
  /** Local clock less UTC, minutes. */
  readonly utcOffset_min: number;
}

const EXAMPLE = '2003-10-17T12:30:30-07:00';
const FORM = /^(\d{4})-(\d{2})-(\d{2})T(\d{2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?(Z|[+\u2212-]\d{2}(?::?\d{2})?)?$/;

/**
 * Reads a moment in the extended form of ISO 8601: date, T, time with seconds and their fraction or without, and the offset
 * from UTC as Z, +hh:mm, +hhmm or +hh. The offset may not be left out: a clock alone names no moment.
 *
 * @throws UserError in a sentence: another form, no offset, a day, hour or offset that does not exist
 */
export function parseInstant(text: string): Instant {
  const wrong = (code: string, why: string) =>
    userError(code, `'${text.length > 60 ? `${text.slice(0, 60)}…` : text}' ${why}`, { field: '--at' });
  const match = FORM.exec(text.trim());
  if (match === null) throw wrong('time-form', `is no time that is understood: write it as ${EXAMPLE} (ISO 8601)`);
  const [year, month, day, hour, minute, second] = match.slice(1, 7).map((part) => Number(part ?? 0)) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const zone = match[8];
  if (zone === undefined)
    throw wrong(
      'time-offset-missing',
      `does not say its offset from UTC: add Z for UTC or e.g. -07:00, as in ${EXAMPLE}`,
    );
  if (month < 1 || month > 12) throw wrong('time-month', `has month ${month}: months run from 01 to 12`);
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const days = month === 2 && leap ? 29 : DAYS_IN_MONTH[month - 1]!;
  if (day < 1 || day > days)
    throw wrong('time-day', `has day ${day}: month ${month} of ${year} has the days 01 to ${days}`);
  if (hour > 23 || minute > 59 || second > 59)
    throw wrong('time-clock', 'has a clock that does not exist: hours run to 23, minutes and seconds to 59');
  const digits = zone === 'Z' ? '' : zone.slice(1).replace(':', '');
  const offset_min = Number(digits.slice(0, 2)) * 60 + Number(digits.slice(2));
  if (Number(digits.slice(2)) > 59 || offset_min > 14 * 60)
    throw wrong('time-offset', `has the offset ${zone}: offsets from UTC lie between -14:00 and +14:00`);
  const utcOffset_min = zone.startsWith('+') ? offset_min : offset_min === 0 ? 0 : -offset_min;
  const fraction_ms = Number(`0.${match[7] ?? '0'}`) * 1000;
  // Date.UTC takes the years 0 to 99 for those of the last century: 400 years are one whole cycle of the calendar.
  const cycle_ms = 146_097 * 86_400_000;
  const local_ms = Date.UTC(year + 400, month - 1, day, hour, minute, second) - cycle_ms + fraction_ms;
  return { unix_ms: local_ms - utcOffset_min * 60_000, utcOffset_min };
}

/** The moment in ISO 8601 to the whole second (nearest), by the clock of an offset. */
export function formatInstant({ unix_ms, utcOffset_min }: Instant): string {
  const local = new Date(Math.round(unix_ms / 1000) * 1000 + utcOffset_min * 60_000);
  const two = (value: number) => String(value).padStart(2, '0');
  const size = Math.abs(utcOffset_min);
  const zone =
    utcOffset_min === 0 ? 'Z' : `${utcOffset_min < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
  return `${local.toISOString().slice(0, 19)}${zone}`;
}
