/** `kit.panel.power_W=2`, as given on the command line, to a path and a value. */
import { UserError } from '../core/units/index.ts';
import type { RecordPath } from './yaml-record.ts';
import { parseYamlRecord } from './yaml-record.ts';

export interface Setting {
  /** Path with the record first: `['kit', 'panel', 'power_W']`. */
  readonly path: RecordPath;
  /** null takes the field away. */
  readonly value: unknown;
  /** As the user wrote it. */
  readonly text: string;
}

const PART = /^(?:\.?([A-Za-z_$][\w$-]*)|\[(\d{1,4})\])/;

/**
 * Reads one setting. The right side is a YAML value: `2`, `nearest`, `[0.2, 0.2]`, `{nearest: Salzburg}`; nothing or `null` removes the field.
 *
 * @throws UserError that shows the setting and how one looks
 */
export function parseSetting(text: string): Setting {
  const equals = text.indexOf('=');
  const left = equals < 0 ? text : text.slice(0, equals);
  const path: (string | number)[] = [];
  let rest = left.trim();
  while (rest !== '') {
    const match = PART.exec(rest);
    if (match === null || (path.length === 0 && match[2] !== undefined)) break;
    path.push(match[1] ?? Number(match[2]));
    rest = rest.slice(match[0].length);
  }
  if (equals < 0 || rest !== '' || path.length < 2) {
    const message = `"${clip(text)}" is no setting: wanted a field and its value, e.g. kit.panel.power_W=2 or kit.panel[1].tilt_deg=60`;
    throw new UserError({ code: 'bad-setting', message, place: { file: '--set' } });
  }
  const right = text.slice(equals + 1).trim();
  if (right === '') return { path, value: null, text };
  return { path, value: parseYamlRecord(right, `--set ${clip(left)}`).value, text };
}

const clip = (text: string) => (text.length > 80 ? `${text.slice(0, 77)}…` : text);
