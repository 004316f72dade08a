/** Generic parts in a kit: the part's fields are the base, the record's own fields override them. */

import type { Path, RawMapping } from './loose.ts';
import { at, copyOf, isMapping, numberAt, show } from './loose.ts';
import type { Complaint } from './messages.ts';
import { nearestWord } from './nearest.ts';
import type { Part } from './parts/index.ts';
import { CELLS, CHARGERS, LOAD_STATES, PANELS, TRANSMIT_STATES } from './parts/index.ts';

/** The part that a field was filled from. */
export interface UsedPart {
  readonly path: Path;
  readonly part: Part;
}

export interface Expanded {
  readonly value: unknown;
  readonly used: readonly UsedPart[];
  readonly complaints: readonly Complaint[];
}

/** Fields that say the same thing in two ways: giving one takes the part's other one away. */
const RIVALS: readonly (readonly string[])[] = [
  ['ceiling_V', 'ceiling_soc'],
  ['duty', 'seconds_per_h'],
];

/** The fields that take the place of `key` when it is set from outside. */
export const rivalsOf = (key: string): readonly string[] =>
  RIVALS.filter((group) => group.includes(key)).flatMap((group) => group.filter((other) => other !== key));

/** A copy of a kit in which every `part` has been filled in. Unknown parts are complaints. */
export function expandKit(raw: unknown): Expanded {
  const value = copyOf(raw);
  const used: UsedPart[] = [];
  const complaints: Complaint[] = [];
  const fill = (path: Path, library: readonly Part[]) => {
    const own = at(value, ...path);
    if (!isMapping(own) || typeof own['part'] !== 'string') return;
    const part = library.find(({ id }) => id === own['part']);
    if (part === undefined) {
      complaints.push(unknownPart(own['part'], path, library));
      return;
    }
    const base = copyOf(part.fields) as RawMapping;
    if (library !== TRANSMIT_STATES) base['name'] = part.title;
    for (const key of Object.keys(own)) for (const rival of rivalsOf(key)) delete base[rival];
    if (library === CHARGERS && own['type'] !== undefined && own['type'] !== base['type'])
      for (const key of ['inputVoltage_V', 'dropout_V', 'vocFraction', 'trackingEfficiency', 'efficiency'])
        delete base[key];
    if (library === CELLS && own['chemistry'] !== undefined && own['chemistry'] !== base['chemistry'])
      delete base['table'];
    const power = numberAt(own, 'power_W');
    const fits =
      library === PANELS &&
      power !== undefined &&
      power > 0 &&
      own['vmp_V'] === undefined &&
      own['imp_A'] === undefined;
    const scaled = fits ? scalePanel(base, power) : base;
    const merged = { ...scaled, ...own };
    for (const key of Object.keys(own)) delete own[key];
    Object.assign(own, merged);
    used.push({ path, part });
  };
  const each = (path: Path, library: readonly Part[]) => {
    const found = at(value, ...path);
    if (Array.isArray(found)) for (const i of found.keys()) fill([...path, i], library);
    else fill(path, library);
  };
  each(['panel'], PANELS);
  each(['charger'], CHARGERS);
  each(['cells'], CELLS);
  each(['load', 'transmit'], TRANSMIT_STATES);
  each(['load', 'parts'], LOAD_STATES);
  return { value, used, complaints };
}

/**
 * A panel of the same kind with another power: currents and area in proportion, voltages kept (more or longer cells of the same string).
 * Changes only what is there; a measured power no longer holds and goes.
 */
export function scalePanel(panel: RawMapping, power_W: number): RawMapping {
  const vmp = numberAt(panel, 'vmp_V');
  const imp = numberAt(panel, 'imp_A');
  const before = vmp !== undefined && imp !== undefined ? vmp * imp : numberAt(panel, 'power_W');
  const scaled: RawMapping = { ...panel };
  delete scaled['measuredPower_W'];
  if (before !== undefined && before > 0) {
    for (const key of ['isc_A', 'imp_A', 'area_cm2']) {
      const value = numberAt(panel, key);
      if (value !== undefined) scaled[key] = Number((value * (power_W / before)).toPrecision(6));
    }
  }
  return { ...scaled, power_W };
}

function unknownPart(id: string, path: Path, library: readonly Part[]): Complaint {
  const ids = library.map((part) => part.id);
  const near = nearestWord(id, ids) ?? nearestWord(id.replace(/^[a-z]+-/, ''), ids);
  const mend = near === undefined ? `known are ${ids.join(', ')}` : `did you mean ${near}?`;
  return {
    code: 'unknown-part',
    path: [...path, 'part'],
    message: `part is ${show(id)}: no generic part has that name; ${mend}`,
  };
}
