/** Serials checked and completed by any of the published schemes, without a workshop. */
import {
  type CheckScheme,
  checkCharacter,
  checkLength,
  hasValidCheck,
  likelySlips,
  normaliseSerial,
  readCrockford,
  type Slip,
  schemeAlphabet,
} from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';

/** `iban`: mod 97-10 with the first four characters moved to the end (ISO 13616). */
export type SerialScheme = CheckScheme | 'iban';

export interface SerialOutcome {
  readonly command: 'unit serial check' | 'unit serial make';
  readonly verdict: string;
  readonly scheme: SerialScheme;
  /** As it is compared: upper case, without blanks and dashes. */
  readonly text: string;
  readonly valid: boolean;
  /** The text without its check, and the check that belongs to it. */
  readonly body: string;
  readonly check: string;
  readonly whole: string;
  /** What a wrong one may have been: one swap of neighbours, or one character taken for another. */
  readonly slips: readonly Slip[];
}

const read = (scheme: SerialScheme, text: string) =>
  scheme === 'crockford' ? readCrockford(text) : normaliseSerial(text);

/** Whether a serial ends in its check; where not, what it may have been. Throws UserError on what the scheme cannot hold. */
export function checkSerial(typed: string, scheme: SerialScheme = 'mod37-36'): SerialOutcome {
  const text = read(scheme, typed);
  if (scheme === 'iban') return checkIban(text, typed);
  const length = checkLength(scheme);
  const body = text.slice(0, -length);
  if (text.length <= length) throw tooShort(typed, length);
  checkAlphabet(scheme, body);
  const check = checkCharacter(scheme, body);
  const valid = hasValidCheck(scheme, text);
  const slips = valid ? [] : likelySlips(scheme, text);
  const may =
    slips.length === 0
      ? ''
      : `; it may have been ${slips
          .slice(0, 4)
          .map((s) => s.text)
          .join(' or ')}`;
  return {
    command: 'unit serial check',
    verdict: valid
      ? `${text} is right (${scheme}).`
      : `${text} is not right: ${body} would end in ${check}, not ${text.slice(-length)} (${scheme})${may}.`,
    scheme,
    text,
    valid,
    body,
    check,
    whole: body + check,
    slips,
  };
}

/** The check that belongs behind a text. Throws UserError on what the scheme cannot hold. */
export function makeSerial(typed: string, scheme: SerialScheme = 'mod37-36'): SerialOutcome {
  const body = read(scheme, typed);
  if (scheme === 'iban')
    throw userError('serial-scheme', 'an account number has its check inside: check it, or complete with mod97-10', {
      field: 'scheme',
    });
  if (body === '') throw tooShort(typed, 0);
  checkAlphabet(scheme, body);
  const check = checkCharacter(scheme, body);
  const whole = body + check;
  return {
    command: 'unit serial make',
    verdict: `${body} with its check is ${whole} (${scheme}).`,
    ...{ scheme, text: body, valid: true, body, check, whole, slips: [] },
  };
}

function checkIban(text: string, typed: string): SerialOutcome {
  if (!/^[A-Z]{2}\d{2}[A-Z0-9]{4,30}$/.test(text))
    throw userError('serial-iban', `'${typed}' is no account number: two letters, two check digits, then the rest`, {
      field: 'text',
    });
  const body = text.slice(4) + text.slice(0, 2);
  const check = checkCharacter('mod97-10', body);
  const valid = check === text.slice(2, 4);
  const whole = text.slice(0, 2) + check + text.slice(4);
  return {
    command: 'unit serial check',
    verdict: valid ? `${text} is right (iban).` : `${text} is not right: its check digits would be ${check} (iban).`,
    ...{ scheme: 'iban', text, valid, body, check, whole, slips: [] },
  };
}

const tooShort = (typed: string, length: number) =>
  userError(
    'serial-short',
    `'${typed}' is too short: a text${length === 0 ? '' : ` and ${length === 1 ? 'its check character' : 'its two check digits'}`} is needed`,
    { field: 'text' },
  );

function checkAlphabet(scheme: CheckScheme, body: string): void {
  const alphabet = schemeAlphabet(scheme);
  const strange = [...body].find((c) => !alphabet.includes(c));
  if (strange !== undefined)
    throw userError(
      'serial-alphabet',
      `'${strange}' in ${body} is not of the scheme ${scheme}: it takes ${alphabet.length === 10 ? 'digits' : alphabet.length === 32 ? 'digits and letters without I, L, O, U' : 'digits and letters'}`,
      { field: 'text' },
    );
}
