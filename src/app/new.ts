import { userError } from '../core/units/index.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import {
  CELLS,
  CHARGERS,
  LOAD_STATES,
  nearestWord,
  newKitText,
  newPerchText,
  PANELS,
  type Part,
  readKit,
  readPerch,
  TRANSMIT_STATES,
} from '../records/index.ts';
import { checkOptions } from './option-limits.ts';

/** Lists of the generic parts. */
export const PART_LISTS = {
  panels: PANELS,
  cells: CELLS,
  chargers: CHARGERS,
  loads: [...LOAD_STATES, ...TRANSMIT_STATES],
} as const satisfies Record<string, readonly Part[]>;

export type PartList = keyof typeof PART_LISTS;

/** Result of `sunperch new --list`. */
export interface ListOutcome {
  readonly command: 'new';
  readonly list: PartList;
  readonly parts: readonly Part[];
}

export function listParts(list: PartList): ListOutcome {
  return { command: 'new', list, parts: PART_LISTS[list] };
}

export interface NewKitRequest {
  readonly kind: 'kit';
  readonly name?: string | undefined;
  /** Path of the JSON Schema as seen from the new file. */
  readonly schema?: string | undefined;
  readonly panel?: string | undefined;
  readonly charger?: string | undefined;
  readonly cells?: string | undefined;
  readonly count?: number | undefined;
}

export interface NewPerchRequest {
  readonly kind: 'perch';
  readonly name?: string | undefined;
  readonly schema?: string | undefined;
  readonly latitude_deg?: number | undefined;
  readonly longitude_deg?: number | undefined;
  readonly elevation_m?: number | undefined;
}

/**
 * `sunperch new`: the text of a commented file to begin with, read back before it is given out, so that it validates.
 *
 * Throws UserError for an unknown part, a value outside its range, or parts that do not go together.
 */
export function newRecord(request: NewKitRequest | NewPerchRequest): string {
  const { kind, name } = request;
  if (name !== undefined && (name.trim() === '' || name.length > 200))
    throw userError('name', '--name is empty or too long: a name has 1 to 200 characters', { field: '--name' });
  // Absent options are left out, so that the text's own defaults hold.
  const given = Object.fromEntries(Object.entries(request).filter(([key, v]) => key !== 'kind' && v !== undefined));
  if (kind === 'perch') {
    const { latitude_deg, longitude_deg, elevation_m } = request;
    checkOptions({ latitude_deg, longitude_deg, elevation_m });
    const text = newPerchText(given);
    readPerch(parseYamlRecord(text, 'the new perch'));
    return text;
  }
  checkOptions({ count: request.count });
  if (request.count !== undefined && !Number.isInteger(request.count))
    throw userError('count', `--count is ${request.count}: cells are counted in whole numbers`, { field: '--count' });
  checkPart('--panel', request.panel, 'panels');
  checkPart('--charger', request.charger, 'chargers');
  checkPart('--cells', request.cells, 'cells');
  const cells = request.cells === undefined ? undefined : CELLS.find(({ id }) => id === request.cells);
  const flat = cells?.fields['chemistry'] === 'table';
  const text = flat
    ? withThresholds(newKitText({ charger: FLAT_CHARGER, ...given }), FLAT_THRESHOLDS)
    : newKitText(given);
  readKit(parseYamlRecord(text, 'the new kit'));
  return text;
}

/** For cells of a flat curve near 3.3 V: they are full at 3.4 V, where the others are half empty (thresholds from memory). */
const FLAT_CHARGER = 'charger-tracking-1A-iron-phosphate';
const FLAT_THRESHOLDS = { cutoff_V: 3, reconnect_V: 3.25 } as const;

/** The same text with other values of the lines `cutoff_V: …` and `reconnect_V: …`. */
function withThresholds(text: string, values: Readonly<Record<string, number>>): string {
  return Object.entries(values).reduce(
    (changed, [key, value]) => changed.replace(new RegExp(`^(  ${key}: ).*$`, 'm'), `$1${value}`),
    text,
  );
}

function checkPart(option: string, id: string | undefined, list: PartList): void {
  const ids: string[] = PART_LISTS[list].map((part) => part.id);
  if (id === undefined || ids.includes(id)) return;
  const near = nearestWord(id, ids);
  throw userError(
    'unknown-part',
    `${option} is '${id}': no generic part has that name; ${near === undefined ? '' : `did you mean ${near}? `}\`sunperch new --list ${list}\` lists them`,
    { field: option },
  );
}
