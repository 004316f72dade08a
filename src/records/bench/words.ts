/** Building blocks of the bench's entries: keys, serials, people, times, money. */
import * as z from 'zod';
import { isCurrency } from '../../core/money/index.ts';
import { countOf, label, within } from '../fields.ts';

/** Name of a part, lot, plan, batch, order: small letters, digits and hyphens, so that it fits a file name and a label. */
export const key = (what: string) =>
  z
    .string()
    .regex(/^[a-z0-9](?:[a-z0-9.-]{0,62}[a-z0-9])?$/, {
      error: `the key of a ${what} has 1 to 64 small letters, digits, dots and hyphens, such as ${what}-1`,
    })
    .describe(`Key of the ${what}`);

/** A serial: capitals and digits with hyphens for the eye; its last sign is the check character (ISO 7064, mod 37-36). */
export const serial = () =>
  z
    .string()
    .regex(/^[0-9A-Z](?:[0-9A-Z-]{1,30}[0-9A-Z])$/, {
      error: 'a serial has 3 to 32 capitals, digits and hyphens, and begins and ends with one that is no hyphen',
    })
    .describe('Serial of the unit');

/** Who did it, as the person signs at the bench. */
export const person = () => label().describe('Who did it');

/** A moment, UTC. */
export const moment = () => z.iso.datetime({ error: 'a moment is written as 2026-11-25T10:26:00Z, in UTC' });

/** A day of the calendar, without a clock. */
export const day = () => z.iso.date({ error: 'a day is written as 2026-11-25' });

export const currency = () =>
  z
    .string()
    .regex(/^[A-Z]{3}$/, { error: 'a currency is named by its three letters of ISO 4217, such as EUR' })
    .refine(isCurrency, {
      error: (issue) =>
        `no currency in use is called ${String(issue.input)}: look for its code of ISO 4217, such as EUR`,
    })
    .describe('Currency, ISO 4217');

/** A sum in the currency's smallest unit (cents): whole, so that nothing is lost in adding. */
export const minor = (what: string) =>
  z
    .int({ error: `${what} is a whole number of the currency's smallest unit: 12.50 EUR is 1250` })
    .min(0, { error: `${what} is not negative` })
    .max(1e12, { error: `${what} is at most 10^12` });

/** Pieces, or thousandths of a metre or gram where the part is measured. */
export const count = (what: string, low = 1) => countOf(what, low, 1_000_000);

export const percent = (what: string) => within(what, 0, 100);

/** A short text on one line or several. */
export const remark = (what: string, most = 2000) =>
  z
    .string()
    .min(1, { error: `${what} has at least one letter` })
    .max(most, { error: `${what} has at most ${most} characters` });
