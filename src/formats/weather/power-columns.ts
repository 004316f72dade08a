import { quote } from './fields.ts';
import type { ReadContext } from './problems.ts';

/** Scale and offset that turn a file's unit into ours. */
interface Conversion {
  readonly scale: number;
  readonly offset: number;
}

/** A parameter in use: its name in the file, our name for it, and the conversion. */
export interface PowerColumn extends Conversion {
  readonly parameter: string;
  readonly name: string;
}

type Units = Readonly<Record<string, number | Conversion>>;

const HOURLY_RADIATION: Units = { 'w/m2': 1, 'wh/m2': 1, 'kwh/m2': 1000, 'mj/m2': 1e6 / 3600, 'mj/hr': 1e6 / 3600 };
const DAILY_RADIATION: Units = {
  'kwh/m2/day': 1,
  'kwh/m2': 1,
  'wh/m2/day': 1e-3,
  'wh/m2': 1e-3,
  'mj/m2/day': 1 / 3.6,
  'mj/m2': 1 / 3.6,
  'w/m2': 0.024,
};
const TEMPERATURE: Units = { c: 1, k: { scale: 1, offset: -273.15 }, f: { scale: 5 / 9, offset: -160 / 9 } };
const SPEED: Units = { 'm/s': 1 };

interface Wanted {
  readonly name: string;
  /** In order of preference. */
  readonly parameters: readonly string[];
  readonly units: Units;
  readonly needed: boolean;
}

const HOURLY: readonly Wanted[] = [
  { name: 'ghi_W_m2', parameters: ['ALLSKY_SFC_SW_DWN'], units: HOURLY_RADIATION, needed: true },
  { name: 'dni_W_m2', parameters: ['ALLSKY_SFC_SW_DNI'], units: HOURLY_RADIATION, needed: false },
  { name: 'dhi_W_m2', parameters: ['ALLSKY_SFC_SW_DIFF'], units: HOURLY_RADIATION, needed: false },
  { name: 'temperature_degC', parameters: ['T2M'], units: TEMPERATURE, needed: true },
  { name: 'wind_m_s', parameters: ['WS10M', 'WS2M'], units: SPEED, needed: false },
];
const DAILY: readonly Wanted[] = [
  { name: 'ghi_kWh_m2', parameters: ['ALLSKY_SFC_SW_DWN'], units: DAILY_RADIATION, needed: true },
  { name: 'dhi_kWh_m2', parameters: ['ALLSKY_SFC_SW_DIFF'], units: DAILY_RADIATION, needed: false },
  { name: 'temperature_degC', parameters: ['T2M'], units: TEMPERATURE, needed: true },
  { name: 'temperatureMin_degC', parameters: ['T2M_MIN'], units: TEMPERATURE, needed: false },
  { name: 'temperatureMax_degC', parameters: ['T2M_MAX'], units: TEMPERATURE, needed: false },
  { name: 'wind_m_s', parameters: ['WS10M', 'WS2M'], units: SPEED, needed: false },
];

/** `kW-hr/m^2/day` as `kwh/m2/day`. */
function plainUnit(unit: string): string {
  return unit
    .toLowerCase()
    .replace(/[\s^°]/g, '')
    .replace('kw-hr', 'kwh')
    .replace('w-hr', 'wh')
    .replace('degrees', '')
    .replace('celsius', 'c');
}

/**
 * The parameters in use among those that a file has, with the conversion of each from the unit that the file states: the
 * same parameter comes in kWh/m², MJ/m² or W/m² according to the community that it was asked for.
 */
export function powerColumns(
  step: 'hourly' | 'daily',
  found: readonly string[],
  unitOf: (parameter: string) => string | undefined,
  context: ReadContext,
): PowerColumn[] {
  const { problems } = context;
  const columns: PowerColumn[] = [];
  for (const wanted of step === 'hourly' ? HOURLY : DAILY) {
    const parameter = wanted.parameters.find((name) => found.includes(name));
    if (parameter === undefined) {
      if (wanted.needed) {
        problems.add(
          'weather.column',
          `The parameter ${wanted.parameters[0]} is missing; found: ${found.length === 0 ? 'none' : found.slice(0, 20).map(quote).join(', ')}.`,
          { field: wanted.parameters[0]! },
        );
      }
      continue;
    }
    const unit = unitOf(parameter);
    const conversion = unit === undefined ? undefined : wanted.units[plainUnit(unit)];
    if (conversion === undefined) {
      problems.add(
        'weather.unit',
        unit === undefined
          ? `The file does not state the unit of ${parameter}: keep the header that comes with the data.`
          : `${parameter} is in ${quote(unit)}: the units read are ${Object.keys(wanted.units).join(', ')}.`,
        { field: parameter },
      );
      continue;
    }
    const both = typeof conversion === 'number' ? { scale: conversion, offset: 0 } : conversion;
    columns.push({ parameter, name: wanted.name, ...both });
    if (unit !== undefined && both.scale !== 1) context.notes.push(`${parameter} is converted from ${unit.trim()}.`);
  }
  return columns;
}

export type PowerClock = 'LST' | 'UTC';

/** Offset of the rows' clock and what it means, told. `shift_h` is to be added to hourly stamps. */
export function powerClock(
  clock: PowerClock | undefined,
  longitude_deg: number,
  step: 'hourly' | 'daily',
  notes: string[],
): { utcOffset_h: number; shift_h: number } {
  const nearest = Math.round(longitude_deg / 15);
  if (clock === 'UTC') {
    notes.push(
      step === 'hourly'
        ? `Times are UTC: moved by ${nearest} h to local standard time.`
        : 'Days are counted in UTC: taken as local days.',
    );
    return { utcOffset_h: nearest, shift_h: step === 'hourly' ? nearest : 0 };
  }
  const solar = longitude_deg / 15;
  notes.push(
    `Times are local solar time${clock === undefined ? ' (not stated, the rule of the source)' : ''}: the UTC offset is longitude / 15 = ${solar.toFixed(2)} h.`,
  );
  return { utcOffset_h: solar, shift_h: 0 };
}
