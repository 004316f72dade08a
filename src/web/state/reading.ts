/** From a record's text to the record itself, or to what is wrong with it; the same reading as on the command line. */
import { kitAssumptions } from '../../app/node-of.ts';
import type { Assumption } from '../../core/energy/index.ts';
import type { Problem } from '../../core/units/index.ts';
import { parseSetting } from '../../formats/setting.ts';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import { assumptionsIn, type Kit, type Net, type Perch, readKit, readNet, readPerch } from '../../records/index.ts';
import { problemsOf } from '../compute/engine.ts';

export type Reading<T> =
  | { readonly ok: true; readonly value: T; readonly raw: unknown; readonly assumptions: readonly Assumption[] }
  | { readonly ok: false; readonly raw: unknown; readonly problems: readonly Problem[] };

const told = (list: readonly { field: string; value: unknown; why: string }[]): Assumption[] =>
  list.map(({ field, value, why }) => ({
    field,
    value: typeof value === 'string' ? value : JSON.stringify(value),
    why,
  }));

function reading<T>(
  text: string,
  name: string,
  read: (source: ReturnType<typeof parseYamlRecord>) => {
    readonly value: T;
    readonly assumptions: readonly Assumption[];
  },
): Reading<T> {
  let raw: unknown;
  try {
    const source = parseYamlRecord(text, name);
    raw = source.value;
    return { ok: true, raw, ...read(source) };
  } catch (error) {
    return { ok: false, raw, problems: problemsOf(error) };
  }
}

export function readKitText(text: string, set: readonly string[] = []): Reading<Kit> {
  return reading(text, 'the kit', (source) => {
    const { value, assumptions } = readKit(source, { set: set.map(parseSetting) });
    return { value, assumptions: [...told(assumptionsIn(value.mode, assumptions)), ...kitAssumptions(value)] };
  });
}

export function readPerchText(text: string, set: readonly string[] = []): Reading<Perch> {
  return reading(text, 'the perch', (source) => {
    const { value, assumptions } = readPerch(source, { set: set.map(parseSetting) });
    return { value, assumptions: told(assumptions) };
  });
}

export const readNetText = (text: string): Reading<Net> =>
  reading(text, 'the net', (source) => {
    const { value, assumptions } = readNet(source);
    return { value, assumptions: told(assumptions) };
  });

/** Assumptions as the command line tells them: in plain mode skyline, snow, dirt and boxes play no part. */
export function assumptionsOf(kit: Extract<Reading<Kit>, { ok: true }>, perch: Extract<Reading<Perch>, { ok: true }>) {
  const plain = kit.value.mode === 'plain';
  return [
    ...kit.assumptions,
    ...perch.assumptions.filter((a) => !plain || !/horizon|snow|soiling|enclosure/.test(a.field)),
  ];
}
