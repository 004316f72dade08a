/** Numbers as offices write them: decimal commas, thousands parted by a sign, and what could be either. */
import { userError } from '../core/units/index.ts';

/** Which sign parts the decimals in a file, where its own cells tell it; else what its separator lets one expect. */
export interface NumberStyle {
  readonly decimal: 'comma' | 'point' | 'unknown';
  readonly separator: string;
}

/** Comma or point with other than three digits behind it, or before it more than three: it cannot part thousands. */
const SURE = (sign: string) =>
  new RegExp(`^[+-]?(?:\\d+${sign}(?:\\d{1,2}|\\d{4,})|\\d{4,}${sign}\\d{3}|0${sign}\\d{3})$`);
const COMMA = SURE(',');
const POINT = SURE('\\.');

/** The style of a file. Where both signs stand for decimals nothing is known. */
export function numberStyle(rows: readonly (readonly string[])[], separator: string): NumberStyle {
  let comma = false;
  let point = false;
  for (const row of rows)
    for (const cell of row) {
      if (cell.length > 20) continue;
      const text = cell.trim();
      comma ||= COMMA.test(text);
      point ||= POINT.test(text);
      if (comma && point) return { decimal: 'unknown', separator };
    }
  return { decimal: comma ? 'comma' : point ? 'point' : 'unknown', separator };
}

const UNKNOWN: NumberStyle = { decimal: 'unknown', separator: ';' };
const SPACES = /(?<=\d)[ \u00a0\u202f'’](?=\d{3}(?:\D|$))/g;

/**
 * The number with a point and without signs between thousands, as a text; undefined when the cell holds none. `1.234,5`,
 * `1,234.5`, `1 234,5` and `1'234.5` say by themselves which sign is which; `1,234` is read as the file's other cells have it.
 *
 * @throws UserError for a number that could be a thousand times larger or smaller
 */
export function plainNumber(cell: string, { decimal, separator }: NumberStyle = UNKNOWN): string | undefined {
  const text = cell.trim().replace(SPACES, '');
  if (/^[+-]?\d+$/.test(text)) return text;
  if (/^[+-]?\d{1,3}(?:\.\d{3})+,\d+$/.test(text) || /^[+-]?\d{1,3}(?:\.\d{3}){2,}$/.test(text))
    return text.replaceAll('.', '').replace(',', '.');
  if (/^[+-]?\d{1,3}(?:,\d{3})+\.\d+$/.test(text) || /^[+-]?\d{1,3}(?:,\d{3}){2,}$/.test(text))
    return text.replaceAll(',', '');
  const either = /^[+-]?[1-9]\d{0,2}([.,])\d{3}$/.exec(text);
  if (either !== null && isUnsure(either[1]!, decimal, separator)) {
    const thousands = text.replace(/[.,]/, '');
    throw userError(
      'number-unsure',
      `"${cell.trim()}" can be ${text.replace(',', '.')} or ${thousands}: write ${thousands} without a sign between the thousands, or one decimal place more or less`,
    );
  }
  return /^[+-]?\d+[.,]\d+$/.test(text) ? text.replace(',', '.') : undefined;
}

/** A comma counts as that of decimals where the file has others such, or where it cannot be the sign between cells. */
function isUnsure(sign: string, decimal: NumberStyle['decimal'], separator: string): boolean {
  if (sign === '.') return decimal === 'comma';
  return decimal === 'point' || (decimal === 'unknown' && separator === ',');
}

/** A number as offices write it; undefined when it is none. */
export function numberOf(cell: string, style?: NumberStyle): number | undefined {
  const text = plainNumber(cell, style);
  return text === undefined ? undefined : Number(text);
}
