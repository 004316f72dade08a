/** Moments of tables: with their offset from UTC, or by the clock of a zone that is told. */
import { userError } from '../../core/units/index.ts';
import { formatInstant, parseInstant } from '../instant.ts';

/** The offset of a zone from UTC at a moment, minutes. */
type OffsetAt = (unix_ms: number) => number;

const HOUR_ms = 3_600_000;

/**
 * Clock of a zone by its name in the IANA database, such as Europe/Zurich.
 *
 * @throws UserError for a name that is none
 */
export function clockOf(zone: string): OffsetAt {
  let format: Intl.DateTimeFormat;
  try {
    const parts = { year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit' } as const;
    format = new Intl.DateTimeFormat('en-US', { timeZone: zone, hourCycle: 'h23', era: 'short', ...parts });
  } catch {
    throw userError('import-zone', `there is no time zone ${zone}: write its name as Europe/Zurich, or UTC`, {
      field: 'zone',
    });
  }
  const known = new Map<number, number>();
  return (unix_ms) => {
    // Clocks change at whole quarters of an hour.
    const quarter = Math.floor(unix_ms / (HOUR_ms / 4));
    const seen = known.get(quarter);
    if (seen !== undefined) return seen;
    const begin_ms = quarter * (HOUR_ms / 4);
    const part: Record<string, string> = {};
    for (const { type, value } of format.formatToParts(begin_ms)) part[type] = value;
    const { year, month, day, hour, minute } = part;
    const local = parseInstant(`${year!.padStart(4, '0')}-${month}-${day}T${hour}:${minute}Z`).unix_ms;
    const offset_min = Math.round((local - begin_ms) / 60_000);
    known.set(quarter, offset_min);
    return offset_min;
  };
}

const NO_OFFSET = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(?::\d{2}(?:[.,]\d{1,9})?)?$/;

/**
 * A moment in UTC from ISO 8601; a space may stand for the T. Without an offset it is read by the clock of `zone`.
 *
 * @throws UserError for another form, for an offset that is left out where no zone is told, and for a clock that did not show
 *   that time in the zone, or showed it twice
 */
export function momentIn(
  text: string,
  field: string,
  clock: { readonly zone: string; readonly offsetAt: OffsetAt } | undefined,
): string {
  const plain = text
    .trim()
    .replace(/^(\d{4}-\d{2}-\d{2}) +/, '$1T')
    .replace(' ', '');
  if (plain === '') throw userError('import-at', `${field} is empty: when it happened, such as 2026-10-01T08:30+02:00`);
  if (clock === undefined || !NO_OFFSET.test(plain)) return utc(parseInstant(plain).unix_ms);
  const { zone, offsetAt } = clock;
  const local_ms = parseInstant(`${plain}Z`).unix_ms;
  // The offsets before and after a change of clocks; they are one where none is near.
  const offsets = new Set([offsetAt(local_ms - 26 * HOUR_ms), offsetAt(local_ms + 26 * HOUR_ms)]);
  const moments = [...offsets]
    .map((o) => ({ o, unix_ms: local_ms - o * 60_000 }))
    .filter((m) => offsetAt(m.unix_ms) === m.o);
  if (moments.length === 1) return utc(moments[0]!.unix_ms);
  const ways = [...offsets].map((o) => formatInstant({ unix_ms: local_ms - o * 60_000, utcOffset_min: o }).slice(19));
  if (moments.length === 0)
    throw userError(
      'import-at',
      `${field}: the clocks of ${zone} were put forward over ${text.trim()}: nobody's clock showed it`,
    );
  throw userError(
    'import-at',
    `${field}: the clocks of ${zone} showed ${text.trim()} twice, being put back: add the offset from UTC, ${ways.join(' or ')}`,
  );
}

const utc = (unix_ms: number) => formatInstant({ unix_ms, utcOffset_min: 0 });
