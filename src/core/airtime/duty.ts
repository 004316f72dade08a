import { userError } from '../units/index.ts';

const MS_PER_HOUR = 3_600_000;

/** Share of the hour, in percent, that messages of one length take. */
export function airtimeShare_pct(timeOnAir_ms: number, messagesPerHour: number): number {
  return (100 * timeOnAir_ms * messagesPerHour) / MS_PER_HOUR;
}

/** Whole messages an hour within a duty cycle (of one device in one sub-band, as EN 300 220 counts it over an hour). */
export function messagesPerHour(timeOnAir_ms: number, duty_pct: number): number {
  checkDuty(timeOnAir_ms, duty_pct);
  // The small addition keeps a quotient that is whole by arithmetic from being lost to rounding.
  return Math.floor((duty_pct / 100) * (MS_PER_HOUR / timeOnAir_ms) + 1e-9);
}

/** Silence after a message, ms, that keeps to a duty cycle without counting over the hour: T·(1/duty - 1). */
export function pauseAfter_ms(timeOnAir_ms: number, duty_pct: number): number {
  checkDuty(timeOnAir_ms, duty_pct);
  return timeOnAir_ms * (100 / duty_pct - 1);
}

function checkDuty(timeOnAir_ms: number, duty_pct: number): void {
  if (!(duty_pct > 0 && duty_pct <= 100))
    throw userError('airtime.duty', `The duty cycle is ${duty_pct} %: it lies above 0 and up to 100 %.`, {
      field: 'duty_pct',
    });
  if (!(timeOnAir_ms > 0)) throw new RangeError(`timeOnAir_ms is ${timeOnAir_ms}`);
}
