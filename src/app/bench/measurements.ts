/** What a measurement at the bench says about one unit: cells, thresholds, load, panel. Nothing is written here. */
import { panelInSun, readDischarge, readRamp, type SunReading, type SunResult } from '../../core/bench/index.ts';
import type { Assumption } from '../../core/energy/index.ts';
import { summariseCurrentLog } from '../../core/load/index.ts';
import { MOUNTINGS } from '../../core/panel/index.ts';
import { userError } from '../../core/units/index.ts';
import { readBenchLog } from '../../formats/bench-log.ts';
import { readCurrentLog } from '../../formats/current-log.ts';
import type { ContentOf } from '../../records/bench/index.ts';
import { type Kit, panelsOf } from '../../records/index.ts';
import { parseInstant } from '../instant.ts';
import { sheetOf } from '../panels.ts';
import { figure } from '../words.ts';

/** A value as it is kept with the unit. */
export type UnitValue = Omit<ContentOf<'unit-measured'>, 'kind'>;

export interface Measurement<R> {
  readonly verdict: string;
  readonly result: R;
  /** What is kept with the unit when that is asked for. */
  readonly values: readonly UnitValue[];
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
}

/** A file that was measured into. */
export interface Evidence {
  readonly name: string;
  readonly sha256: string;
}

interface Span {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

const spanText = ({ value, low, high }: Span, unit: string) =>
  `${figure(value, 4)} ${unit} (95 %: ${figure(low, 4)} to ${figure(high, 4)})`;

const valueOfUnit = (
  field: UnitValue['field'],
  { value, low, high }: Span,
  how: string,
  file?: Evidence,
): UnitValue => ({
  field,
  value,
  low,
  high,
  how,
  ...(file === undefined ? {} : { file }),
});

/** End of a discharge in many data sheets of cells, V (from memory). */
const EMPTY_V = 2.5;
/** Rows further apart than this while current flows are told: what the current did between is not known (judgement). */
const GAP_s = 120;
/** Data sheets give the capacity at about 25 degC; outside this span it is another one (judgement). */
const ROOM_degC = { low: 18, high: 32 } as const;

export interface CellsRequest {
  readonly empty_V?: number | undefined;
  readonly resistor_ohm?: number | undefined;
  /** Cells in parallel that the log is of. */
  readonly cells?: number | undefined;
  readonly temperature_degC?: number | undefined;
}

/** Capacity and resistance of one cell from a discharge log; `readDischarge` says how and how well. */
export function measureCells(text: string, file: Evidence, request: CellsRequest) {
  const { cells = 1, resistor_ohm, temperature_degC } = request;
  const empty_V = request.empty_V ?? EMPTY_V;
  const { notes: read, ...log } = readBenchLog(text, file.name, { resistor_ohm });
  const notes = [...read];
  const most = log.current_mA.reduce((a, i) => Math.max(a, i), 0);
  const least = log.current_mA.reduce((a, i) => Math.min(a, i), 0);
  const turned = -least > most;
  if (turned) notes.push('the current is negative while the cell is emptied: its sign was turned');
  const current_mA = turned ? log.current_mA.map((i) => -i) : log.current_mA;
  const found = readDischarge({ ...log, current_mA }, { empty_V });
  const scaled = (span: Span, by: number): Span => ({
    value: span.value * by,
    low: span.low * by,
    high: span.high * by,
  });
  const capacity_mAh = scaled(found.capacity_mAh, 1 / cells);
  // Behind a resistor both columns are one measurement: its steps are the cell's own voltage, and say nothing.
  const resistance = resistor_ohm === undefined ? found.resistance_mOhm : undefined;
  const resistance_mOhm = resistance && scaled(resistance, cells);
  if (!found.reachedEmpty)
    notes.push(
      `the log ends above ${empty_V} V: the cell holds at least this much; the capacity is not kept. Give --empty where the discharge was ended on purpose.`,
    );
  if (found.longestGap_s > GAP_s)
    notes.push(
      `rows are up to ${Math.round(found.longestGap_s)} s apart while current flows: between them the current was taken as a straight line`,
    );
  if (resistance_mOhm === undefined) notes.push('the current never steps within 5 s: the resistance is not known');
  if (temperature_degC === undefined) notes.push('the temperature was not given: capacity falls in the cold');
  else if (temperature_degC < ROOM_degC.low || temperature_degC > ROOM_degC.high)
    notes.push(`at ${temperature_degC} °C the capacity is not that of a data sheet, which holds for about 25 °C`);
  const how = `discharged to ${empty_V} V at ${figure(found.meanCurrent_mA / cells)} mA a cell${temperature_degC === undefined ? '' : `, ${temperature_degC} °C`}`;
  return {
    verdict: `One cell ${found.reachedEmpty ? 'holds' : 'holds at least'} ${spanText(capacity_mAh, 'mAh')} to ${empty_V} V${resistance_mOhm === undefined ? '' : `, and has ${spanText(resistance_mOhm, 'mΩ')}`}.`,
    result: { ...found, capacity_mAh, resistance_mOhm: resistance_mOhm ?? null, empty_V, cells },
    values: [
      ...(found.reachedEmpty ? [valueOfUnit('cellCapacity_mAh', capacity_mAh, how, file)] : []),
      ...(resistance_mOhm !== undefined && resistance_mOhm.value > 0
        ? [valueOfUnit('cellResistance_mOhm', resistance_mOhm, `steps of the current, ${how}`, file)]
        : []),
    ],
    notes,
    assumptions:
      request.empty_V === undefined
        ? [{ field: 'empty', value: `${EMPTY_V} V`, why: 'end of the discharge in many data sheets, from memory' }]
        : [],
  } satisfies Measurement<unknown>;
}

/** Cut-off, reconnect, hysteresis and own consumption from a supply ramp; `readRamp` says how and how well. */
export function measureRamp(text: string, file: Evidence, request: { readonly threshold_mA?: number | undefined }) {
  const { time_s, voltage_V: supply_V, current_mA, notes: read } = readBenchLog(text, file.name);
  const found = readRamp({ time_s, supply_V, current_mA }, request);
  const { cutoff_V, reconnect_V } = found;
  const notes = [...read];
  if (found.mostSwitchings > 1)
    notes.push(`the load switched ${found.mostSwitchings} times on one ramp: it chatters; the first switching counts`);
  if (reconnect_V === undefined) notes.push('the voltage never rises far enough for the load to come back');
  else if (reconnect_V.value <= cutoff_V.value)
    notes.push('reconnect is not above cut-off: the ramp was too fast for a delay in the switch, or there is none');
  const how = `supply ramp at up to ${figure(found.rate_V_s, 2)} V/s`;
  return {
    verdict: `The load goes off at ${spanText(cutoff_V, 'V')}${reconnect_V === undefined ? '' : ` and comes back at ${spanText(reconnect_V, 'V')}`}; while off it draws ${figure(1000 * found.ownConsumption_mA.value)} µA.`,
    result: { ...found, reconnect_V: reconnect_V ?? null, hysteresis_V: found.hysteresis_V ?? null },
    values: [
      valueOfUnit('cutoff_V', cutoff_V, how, file),
      ...(reconnect_V === undefined ? [] : [valueOfUnit('reconnect_V', reconnect_V, how, file)]),
    ],
    notes,
    assumptions: [],
  } satisfies Measurement<unknown>;
}

export interface CurrentRequest {
  /** Number of the state in which the unit sleeps, from 1 as printed. */
  readonly sleep?: number | undefined;
  readonly receive?: number | undefined;
}

/** Average and states of a load from its current log; with states named, those are kept in place of the average. */
export function measureCurrent(text: string, file: Evidence, request: CurrentRequest) {
  const { time_s, current_mA, notes } = readCurrentLog(text, file.name);
  const found = summariseCurrentLog(time_s, current_mA);
  const stateAt = (number: number, field: string) => {
    const state = found.states[number - 1];
    if (state !== undefined) return state;
    throw userError('no-such-state', `the log has ${found.states.length} states: ${number} is none of them`, { field });
  };
  const values: UnitValue[] = [];
  const how = (number: number) => `state ${number} of ${found.states.length} in a current log`;
  for (const [field, number, name, factor] of [
    ['sleepCurrent_uA', request.sleep, 'sleep', 1000],
    ['receiveCurrent_mA', request.receive, 'receive', 1],
  ] as const)
    if (number !== undefined)
      values.push({ field, value: factor * stateAt(number, name).level_mA, how: how(number), file });
  const average: Span = { value: found.average_mA, low: found.low_mA, high: found.high_mA };
  if (values.length === 0)
    values.push(valueOfUnit('loadAverage_mA', average, `current log over ${Math.round(found.duration_s)} s`, file));
  return {
    verdict: `It draws ${spanText(average, 'mA')} on average, in ${found.states.length} state${found.states.length === 1 ? '' : 's'}.`,
    result: found,
    values,
    notes: [...notes, ...found.warnings],
    assumptions: [],
  } satisfies Measurement<unknown>;
}

export interface PanelRequest
  extends Omit<SunReading, 'unix_ms' | 'elevation_m' | 'air_degC' | 'wind_m_s' | 'mounting'> {
  /** ISO 8601 with offset. */
  readonly at: string;
  readonly elevation_m?: number | undefined;
  readonly air_degC?: number | undefined;
  readonly wind_m_s?: number | undefined;
  /** Which panel of the kit, from 1. */
  readonly panel?: number | undefined;
}

const WARNINGS: Readonly<Record<SunResult['warnings'][number], string>> = {
  'sun-low': 'the sun stands below 20 degrees, where haze and the horizon count: measure nearer to noon',
  'sun-aslant':
    'the sun falls in at a slant (over 40 degrees off the face), where a wrong angle counts: turn the panel to the sun',
  'faint-light': 'the light is below 600 W/m², where a panel is not judged well: measure nearer to noon',
};

/** Real watts of a kit's panel from one reading in the sun; `panelInSun` says how and how well. */
export function measurePanel(kit: Kit, request: PanelRequest) {
  const { at, panel: number = 1, elevation_m, air_degC, wind_m_s, ...reading } = request;
  const panels = panelsOf(kit);
  const panel = panels[number - 1];
  if (panel === undefined)
    throw userError('no-such-panel', `${kit.name} has ${panels.length} panels: ${number} is none of them`, {
      field: 'panel',
    });
  const found = panelInSun(sheetOf({ ...panel, measuredPower_W: undefined }), {
    ...reading,
    unix_ms: parseInstant(at).unix_ms,
    elevation_m: elevation_m ?? 0,
    air_degC: air_degC ?? 20,
    wind_m_s: wind_m_s ?? 1,
    mounting: MOUNTINGS[panel.mounting],
  });
  const assumed = (field: string, given: unknown, value: string, why: string): Assumption[] =>
    given === undefined ? [{ field, value, why }] : [];
  const metered = reading.irradiance_W_m2 !== undefined;
  const watts: Span = { value: found.power_W, low: found.low_W, high: found.high_W };
  const label_W = found.power_W / found.shareOfLabel;
  const share = (w: number) => Math.round((100 * w) / label_W);
  return {
    verdict: `The panel gives ${spanText(watts, 'W')} at standard conditions: ${share(watts.value)} % of its data sheet (${share(watts.low)} to ${share(watts.high)} %).`,
    result: { ...found, label_W },
    values:
      panels.length === 1
        ? [valueOfUnit('panel_W', watts, `Isc ${reading.isc_A} A, Voc ${reading.voc_V} V in the sun, ${at}`)]
        : [],
    notes: [
      ...found.warnings.map((warning) => WARNINGS[warning]),
      ...(metered
        ? []
        : ['the sky is taken as clear: a thin cloud, which the eye hardly sees, makes the panel look weak']),
      ...(panels.length === 1 ? [] : ['the kit has several panels: the value of one of them is not kept']),
    ],
    assumptions: [
      ...(metered ? [] : assumed('turbidity', reading.linkeTurbidity, '3', 'clear air; 2 very clear, 5 hazy')),
      ...assumed('elevation', elevation_m, '0 m', 'not said'),
      ...(reading.cell_degC === undefined
        ? [
            ...assumed('temperature', air_degC, '20 °C', 'of the air, not said'),
            ...assumed('wind', wind_m_s, '1 m/s', 'light air'),
          ]
        : []),
    ],
  } satisfies Measurement<unknown>;
}
