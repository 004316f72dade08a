/** A unit's own measured values, and what they replace in its kit. */
import { average_mA_at, composeLoad, REFERENCE_V } from '../../core/load/index.ts';
import type { Setting } from '../../formats/setting.ts';
import { countingTry, gateState, type Measure, UNIT_FIELDS, type UnitField } from '../../records/bench/index.ts';
import { type Kit, panelsOf } from '../../records/index.ts';
import { figure } from '../words.ts';
import { planOfUnit, unitIn } from './find.ts';
import type { BenchState } from './state.ts';

/** A value that was measured on the unit itself. */
export interface OwnValue {
  readonly field: UnitField;
  readonly value: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly how: string;
  readonly at: string;
}

/** The same with what became of it in the forecast. */
export interface UsedValue extends OwnValue {
  /** Fields of the kit that it was put in. */
  readonly set: readonly string[];
  /** Why it was put nowhere. */
  readonly unused: string | null;
}

const FIELD_OF: Partial<Record<Measure, UnitField>> = {
  'sleep current': 'sleepCurrent_uA',
  'receive current': 'receiveCurrent_mA',
  'cell capacity': 'cellCapacity_mAh',
  'cell resistance': 'cellResistance_mOhm',
  'ceiling voltage': 'ceiling_V',
  'cut-off voltage': 'cutoff_V',
  'reconnect voltage': 'reconnect_V',
  'panel power': 'panel_W',
  'antenna match': 'vswr',
  'transmit power': 'transmitPower_dBm',
};

/**
 * The newest value of each field: kept as a measurement of the unit, or measured at a gate that it has passed or was let
 * through. A value that stops the unit says nothing about what leaves the bench.
 */
export function ownValues(state: BenchState, serial: string): OwnValue[] {
  const unit = unitIn(state, serial);
  const found = new Map<UnitField, OwnValue>();
  const take = (value: OwnValue) => {
    const before = found.get(value.field);
    if (before === undefined || Date.parse(value.at) >= Date.parse(before.at)) found.set(value.field, value);
  };
  for (const gate of planOfUnit(state, unit).gates) {
    const field = FIELD_OF[gate.measures];
    const tried = countingTry(unit, gate.key);
    const value = tried?.measured.value;
    if (field === undefined || tried === undefined || typeof value !== 'number') continue;
    if (!['passed', 'overridden'].includes(gateState(unit, gate.key))) continue;
    take({ field, value, low: null, high: null, how: `gate ${gate.name}`, at: tried.at });
  }
  for (const { field, value, low, high, how, at } of unit.measured.values())
    take({ field, value, low: low ?? null, high: high ?? null, how, at });
  const order = Object.keys(UNIT_FIELDS);
  return [...found.values()].sort((a, b) => order.indexOf(a.field) - order.indexOf(b.field));
}

interface Placed {
  readonly settings: readonly Setting[];
  readonly unused?: string;
}

/** A setting of a kit. */
export const settingOf = (path: readonly (string | number)[], value: unknown): Setting => ({
  path: ['kit', ...path],
  value,
  text: `kit.${path.join('.')}=${JSON.stringify(value)}`,
});
const put = (value: number, ...path: (string | number)[]): Placed => ({ settings: [settingOf(path, value)] });
const nowhere = (unused: string): Placed => ({ settings: [], unused });

/** What the values change in a kit, as settings of its record. */
export function settingsOf(kit: Kit, values: readonly OwnValue[]): { settings: Setting[]; used: UsedValue[] } {
  const of = (field: UnitField) => values.find((v) => v.field === field)?.value;
  const settings: Setting[] = [];
  const used = values.map((value): UsedValue => {
    const placed = place(kit, value, of);
    settings.push(...placed.settings);
    return {
      ...value,
      set: placed.settings.filter((s) => s.value !== null).map((s) => s.path.join('.')),
      unused: placed.unused ?? null,
    };
  });
  return { settings, used };
}

function place(kit: Kit, { field, value }: OwnValue, of: (field: UnitField) => number | undefined): Placed {
  const plain = kit.mode === 'plain';
  switch (field) {
    case 'cellCapacity_mAh':
      return put(value, 'cells', 'measuredCapacity_mAh');
    case 'cellResistance_mOhm':
      return plain ? nowhere('plain mode has no resistance') : put(value, 'cells', 'resistance_mOhm');
    case 'ceiling_V':
      return plain ? nowhere('plain mode takes states of charge') : put(value, 'charger', 'ceiling_V');
    case 'cutoff_V':
    case 'reconnect_V': {
      if (plain) return nowhere('plain mode takes states of charge');
      if (kit.cutoff.none) return nowhere('the kit has no cut-off');
      if (kit.cutoff.cutoff_V !== undefined) return put(value, 'cutoff', field);
      // A kit that gives states of charge needs both voltages in their place.
      const other = field === 'cutoff_V' ? 'reconnect_V' : 'cutoff_V';
      if (of(other) === undefined)
        return nowhere(`the kit gives states of charge: ${UNIT_FIELDS[other]} is wanted too`);
      const gone = field === 'cutoff_V' ? 'cutoff_soc' : 'reconnect_soc';
      return { settings: [settingOf(['cutoff', field], value), settingOf(['cutoff', gone], null)] };
    }
    case 'panel_W':
      if (panelsOf(kit).length > 1) return nowhere('the kit has several panels');
      return put(value, 'panel', 'measuredPower_W');
    case 'vswr':
      return kit.antenna === undefined ? nowhere('the kit has no antenna') : put(value, 'antenna', 'vswr');
    case 'transmitPower_dBm':
      return kit.radio === undefined ? nowhere('the kit has no radio') : put(value, 'radio', 'power_dBm');
    case 'loadAverage_mA':
      // Measured at the cells: a voltage of the data sheet no longer goes with it.
      return { settings: [settingOf(['load', 'average_mA'], value), settingOf(['load', 'voltage_V'], null)] };
    case 'sleepCurrent_uA':
    case 'receiveCurrent_mA':
      if (of('loadAverage_mA') !== undefined) return nowhere('the measured average says it all');
      if (kit.load.average_mA !== undefined) return nowhere('the kit gives an average only');
      return field === 'sleepCurrent_uA' ? asleep(kit, value) : listening(kit, value, of('sleepCurrent_uA'));
  }
}

type Parts = NonNullable<Kit['load']['parts']>;
const isSleep = (part: Parts[number]) => /sleep/i.test(`${part.part ?? ''} ${part.name ?? ''}`);

/** Current at the cells, at 3.7 V, of some states that are on together, mA. */
function drawOf(kit: Kit, parts: Parts, quiescent_uA = kit.load.regulator?.quiescent_uA ?? 0): number {
  const { regulator } = kit.load;
  const own_mA = regulator === undefined ? 0 : quiescent_uA / 1000;
  if (parts.length === 0) return own_mA;
  const load = composeLoad({
    parts: parts.map((part, i) => ({
      name: `part ${i + 1}`,
      current_mA: part.current_mA,
      supply: part.supply,
      duty: 1,
    })),
    regulator: regulator === undefined ? undefined : { ...regulator, quiescent_uA: 0 },
  });
  return own_mA + average_mA_at(load, REFERENCE_V);
}

/** Asleep draw the regulator itself and the states that are called sleep: each takes its share of what was measured. */
function asleep(kit: Kit, measured_uA: number): Placed {
  const parts = kit.load.parts ?? [];
  const sheet_uA = 1000 * drawOf(kit, parts.filter(isSleep));
  if (!(sheet_uA > 0)) return nowhere('the kit has neither a regulator nor a state called sleep');
  const factor = measured_uA / sheet_uA;
  const settings = parts.flatMap((part, i) =>
    isSleep(part) ? [settingOf(['load', 'parts', i, 'current_mA'], part.current_mA * factor)] : [],
  );
  const { regulator } = kit.load;
  if (regulator !== undefined)
    settings.push(settingOf(['load', 'regulator', 'quiescent_uA'], regulator.quiescent_uA * factor));
  return { settings };
}

/**
 * While it listens draw the receiver, the regulator and whatever is on at least half of the time (judgement): the
 * receiver gets what the others leave of the measured current.
 */
function listening(kit: Kit, measured_mA: number, sleep_uA: number | undefined): Placed {
  const parts = kit.load.parts ?? [];
  const receives = (part: Parts[number]) => part.kind === 'receive' && !isSleep(part);
  const often = (part: Parts[number]) =>
    (part.duty ?? (part.seconds_per_h === undefined ? 1 : part.seconds_per_h / 3600)) >= 0.5;
  const receiver_mA = drawOf(kit, parts.filter(receives), 0);
  const sleepers = parts.filter(isSleep).length;
  const others_mA = drawOf(
    kit,
    parts.filter((part) => !receives(part) && !isSleep(part) && often(part)),
    // With states called sleep the measured figure is not the regulator's alone.
    sleepers === 0 ? sleep_uA : undefined,
  );
  if (!(receiver_mA > 0)) return nowhere('the kit has no state of the kind receive');
  const factor = (measured_mA - others_mA) / receiver_mA;
  if (!(factor > 0)) return nowhere(`the other states of the kit draw ${figure(others_mA)} mA already`);
  return {
    settings: parts.flatMap((part, i) =>
      receives(part) ? [settingOf(['load', 'parts', i, 'current_mA'], part.current_mA * factor)] : [],
    ),
  };
}
