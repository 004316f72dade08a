/** Values as they stand in a form and as they stand in the text. */
import { at, type Path, pathText } from '../../records/loose.ts';
import type { Format } from '../display/numbers.ts';
import { parseNumber } from '../display/numbers.ts';
import { type Display, unitOf } from '../display/units.ts';
import { format, settings } from '../state/settings.ts';
import type { Field } from './schema-fields.ts';

/** `kit.panel.power_W`: how problems and settings name a field. */
export const fullName = (kind: 'kit' | 'perch', path: Path) => `${kind}.${pathText(path)}`;

/** The value as it is edited: a number in the reader's unit, anything else as it is; empty when absent. */
export function shownValue(value: unknown, field: Field, display: Display, format: Format): string {
  if (value === undefined || value === null) return '';
  if (typeof value === 'number') {
    const shown = unitOf(field.key, display).toShown(value);
    // In another unit five digits are enough; what is stored changes only when somebody types.
    return format.editable(shown === value ? shown : Number(shown.toPrecision(5)));
  }
  if (typeof value === 'string') return value;
  return JSON.stringify(value);
}

/** What was typed as it is stored; text that is no number stays text, so that the checks can say so. */
export function storedValue(text: string, field: Field, display: Display, decimal: '.' | ','): unknown {
  if (text.trim() === '') return undefined;
  if (field.kind === 'text' || field.kind === 'choice') return text;
  if (field.kind === 'yes-no') return text === 'true';
  const number = parseNumber(text, decimal);
  return number === undefined ? text.trim() : unitOf(field.key, display).toStored(number);
}

/** The value at a path of the raw record. */
export const valueAt = (raw: unknown, path: Path): unknown => at(raw, ...path);

/** What holds while a field is empty, said in the field itself. */
export function holdsText(fallback: unknown, field: Field): string {
  if (fallback === undefined || fallback === null || typeof fallback === 'object') return '';
  return `${shownValue(fallback, field, settings.peek(), format.peek())} holds`;
}

/** The unit with which a description ends, and which stands beside the field. */
const UNIT_AT_END = /, (mAh|mA|uA|A|mV|V|W|Ohm|mOhm|m|cm|cm2|degC|degrees|kelvin|hours|years|dBm|dBi|dB|MHz|kHz|%)$/;

/** The schema's description without what the label and the unit beside the field say already. */
export function hintOf(description: string, label: string): string {
  const plain = description
    .replace(UNIT_AT_END, '')
    .replace(/\bdegC\b/g, '°C')
    .replace(/\buA\b/g, 'µA')
    .replace(/m2\b/g, 'm²');
  return plain.toLowerCase() === label.toLowerCase() || /^Name of the (kit|perch)$/.test(plain) ? '' : plain;
}
