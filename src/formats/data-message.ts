/** What a two-dimensional code says when it names its fields: the envelope of ISO/IEC 15434 with data identifiers (ANSI MH10.8.2). */
import { userError } from '../core/units/index.ts';

const RS = '\u001e';
const GS = '\u001d';
const EOT = '\u0004';
const HEAD = `[)>${RS}06${GS}`;

/** Fields by name, with their data identifiers (from memory). */
export const DATA_IDENTIFIERS = {
  part: '1P',
  serial: 'S',
  lot: '1T',
  quantity: 'Q',
  origin: '4L',
  date: '9D',
} as const;
export type DataField = keyof typeof DATA_IDENTIFIERS;
export type DataFields = Readonly<Partial<Record<DataField, string>>>;

/**
 * The message of the fields that are given, in the order of `DATA_IDENTIFIERS`: `[)>` RS `06` GS, the fields parted by GS, RS EOT.
 *
 * @throws UserError when nothing is given or a text holds what parts fields
 */
export function dataMessage(fields: DataFields): string {
  const given = Object.entries(DATA_IDENTIFIERS).flatMap(([name, identifier]) => {
    const text = fields[name as DataField];
    if (text === undefined) return [];
    // Printable ASCII alone: readers differ in what they make of the rest.
    if (!/^[ -~]+$/.test(text))
      throw userError(
        'message-text',
        `${name} is '${text}': letters without accents, digits and signs of a keyboard can stand in such a code`,
        { field: name },
      );
    return [`${identifier}${text}`];
  });
  if (given.length === 0)
    throw userError('message-empty', `the code would say nothing: give ${Object.keys(DATA_IDENTIFIERS).join(', ')}`);
  return `${HEAD}${given.join(GS)}${RS}${EOT}`;
}

/** The fields of a message; undefined where the text is none. Identifiers that are not known are left out. */
export function readDataMessage(text: string): DataFields | undefined {
  if (!text.startsWith(HEAD) || !text.endsWith(`${RS}${EOT}`)) return undefined;
  const fields: Partial<Record<DataField, string>> = {};
  for (const part of text.slice(HEAD.length, -2).split(GS)) {
    const [, identifier, value] = /^(\d*[A-Z])(.*)$/s.exec(part) ?? [];
    const name = Object.entries(DATA_IDENTIFIERS).find(([, own]) => own === identifier)?.[0];
    if (name !== undefined) fields[name as DataField] = value!;
  }
  return fields;
}
