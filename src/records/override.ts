/** Fields set from the command line: `--set kit.panel.power_W=2`. They change the raw record, which is then read as if the file said so. */
import { UserError } from '../core/units/index.ts';
import { rivalsOf, scalePanel } from './expand.ts';
import type { Path, RawMapping } from './loose.ts';
import { at, copyOf, isMapping, show } from './loose.ts';
import { nearestWord } from './nearest.ts';

/** One setting: path with the record first, and the value; null takes the field away. */
export interface Setting {
  readonly path: Path;
  readonly value: unknown;
  readonly text: string;
}

/** Records that a setting may name. */
export const SETTABLE: readonly string[] = ['kit', 'perch'];

/**
 * Fields whose meaning is taken over by another: setting the left one removes the right ones, since the file's value would
 * otherwise win or contradict.
 */
const SUPERSEDES: ReadonlyMap<string, readonly string[]> = new Map([
  ['power_W', ['measuredPower_W']],
  ['capacity_mAh', ['measuredCapacity_mAh']],
  ['average_mA', ['parts', 'transmit', 'regulator']],
  ['parts', ['average_mA', 'voltage_V']],
  ['transmit', ['average_mA', 'voltage_V']],
  ['vswr', ['sweep']],
  ['none', ['cutoff_V', 'reconnect_V', 'cutoff_soc', 'reconnect_soc', 'tolerance_mV', 'drift_uV_K']],
]);

/** What belongs to one type of charger and would contradict another. */
const OF_CHARGER_TYPE = ['inputVoltage_V', 'dropout_V', 'vocFraction', 'trackingEfficiency', 'efficiency'];

export interface Applied {
  readonly raw: unknown;
  /** Paths (without the record's name) that a setting has written. */
  readonly touched: readonly Path[];
}

/**
 * The raw record with the settings of `kind` applied, in order.
 * Power of a panel given by the data-sheet five: currents and area go in proportion, voltages stay.
 *
 * @throws UserError for a record that does not exist, a list without position, a position that is not there, a field inside a plain value
 */
export function applySettings(value: unknown, settings: readonly Setting[], kind: string): Applied {
  let raw = settings.length > 0 ? copyOf(value) : value;
  const touched: Path[] = [];
  for (const setting of settings) {
    const record = String(setting.path[0]);
    if (!SETTABLE.includes(record)) {
      const near = nearestWord(record, SETTABLE);
      throw bad(
        setting,
        `"${record}" is no record: a setting begins with ${SETTABLE.join(' or ')}${near === undefined ? '' : `; did you mean ${near}?`}`,
      );
    }
    if (record !== kind) continue;
    if (!isMapping(raw)) raw = {};
    touched.push(put(raw as RawMapping, setting));
  }
  return { raw, touched };
}

function put(root: RawMapping, setting: Setting): Path {
  const path: (string | number)[] = [];
  let created: Path | undefined;
  let here: RawMapping | unknown[] = root;
  const steps = setting.path.slice(1);
  for (const [i, step] of steps.entries()) {
    const rest = steps.slice(i);
    if (typeof step === 'number') {
      if (!Array.isArray(here)) {
        // A single panel may be named as the first of a list.
        if (step === 0 && path.at(-1) === 'panel' && rest.length > 1) continue;
        throw bad(setting, `${String(path.at(-1))} is not a list, so [${step}] is not there`);
      }
      if (step >= here.length)
        throw bad(setting, `[${step}] is not there: the list has ${here.length}, counted from [0]`);
    } else if (Array.isArray(here)) {
      if (here.length !== 1)
        throw bad(
          setting,
          `${String(path.at(-1))} is a list of ${here.length}: say which, e.g. ${String(path.at(-1))}[0].${step}`,
        );
      const only: unknown = here[0];
      path.push(0);
      if (!isMapping(only)) throw bad(setting, `${String(path.at(-2))}[0] is ${show(only)}: it has no fields`);
      here = only;
    }
    path.push(step);
    if (rest.length === 1) {
      const written = write(here, step, setting, path);
      return created ?? written;
    }
    const next = at(here, step);
    if (next === undefined || next === null) {
      created ??= [...path];
      const fresh: RawMapping = {};
      (here as Record<string | number, unknown>)[step] = fresh;
      here = fresh;
    } else if (isMapping(next) || Array.isArray(next)) here = next;
    else if (step === 'climate') {
      // `climate: nearest` gives way to `climate.monthly…`.
      const fresh: RawMapping = {};
      (here as RawMapping)[step] = fresh;
      here = fresh;
    } else throw bad(setting, `${String(step)} is ${show(next)}: it has no field ${String(rest[1])}`);
  }
  return path;
}

function write(here: RawMapping | unknown[], step: string | number, setting: Setting, path: Path): Path {
  if (Array.isArray(here)) {
    if (setting.value === null) here.splice(Number(step), 1);
    else here[Number(step)] = setting.value;
    return path;
  }
  const key = String(step);
  if (setting.value === null) {
    delete here[key];
    return path;
  }
  for (const gone of [...rivalsOf(key), ...(SUPERSEDES.get(key) ?? [])]) delete here[gone];
  if (key === 'type' && path[0] === 'charger' && here['type'] !== setting.value)
    for (const gone of OF_CHARGER_TYPE) delete here[gone];
  const five = key === 'power_W' && path[0] === 'panel' && here['vmp_V'] !== undefined && here['imp_A'] !== undefined;
  if (five && typeof setting.value === 'number' && setting.value > 0)
    Object.assign(here, scalePanel(here, setting.value));
  else here[key] = setting.value;
  return path;
}

function bad(setting: Setting, message: string): UserError {
  const text = setting.text.length > 80 ? `${setting.text.slice(0, 77)}…` : setting.text;
  return new UserError({ code: 'bad-setting', message: `${text}: ${message}`, place: { file: '--set' } });
}
