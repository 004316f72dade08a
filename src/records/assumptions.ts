/** What a record leaves open and is filled in, told with its reason so that it can be printed with the result. */
import * as z from 'zod';
import type { UsedPart } from './expand.ts';
import type { Mode } from './fields.ts';
import { fallbacks } from './fields.ts';
import type { Kit } from './kit.ts';
import { panelsOf } from './kit.ts';
import type { Path } from './loose.ts';
import { at, pathText } from './loose.ts';
import type { Perch } from './perch.ts';
import { facingEquator_deg, winterTilt_deg } from './perch.ts';
import { branches } from './schema-walk.ts';

export interface Assumption {
  /** Dotted path with the record first, e.g. `kit.charger.chargeMin_degC`. */
  readonly field: string;
  readonly value: unknown;
  readonly why: string;
  /** The mode of the kit in which it matters; absent: in both. */
  readonly only?: Mode;
}

/** The defaults of the schema that were applied: fields absent in `raw` that the schema fills. */
export function schemaDefaults(schema: z.core.$ZodType, raw: unknown, kind: string): Assumption[] {
  const found: Assumption[] = [];
  const look = (here: z.core.$ZodType, path: Path) => {
    const value = at(raw, ...path);
    for (const branch of branches(here)) {
      if (branch instanceof z.ZodArray && Array.isArray(value))
        for (const i of value.keys()) look(branch.element, [...path, i]);
      if (!(branch instanceof z.ZodObject) || typeof value !== 'object' || value === null || Array.isArray(value))
        continue;
      for (const [key, child] of Object.entries(branch.shape)) {
        const note = child instanceof z.ZodDefault ? fallbacks.get(child) : undefined;
        if (note !== undefined && at(value, key) === undefined)
          found.push({
            field: `${kind}.${pathText([...path, key])}`,
            value: (child as z.ZodDefault).def.defaultValue,
            ...note,
          });
        else if (at(value, key) !== undefined) look(child as z.core.$ZodType, [...path, key]);
      }
    }
  };
  look(schema, []);
  return found;
}

/** That a generic part stands for the real one is an assumption too. */
export function partAssumptions(used: readonly UsedPart[], kind: string): Assumption[] {
  return used.map(({ path, part }) => ({
    field: `${kind}.${pathText([...path, 'part'])}`,
    value: part.id,
    why: `generic part (${part.title}): ${part.source}`,
  }));
}

/** A function that fills `key` of `target` when it is absent, and tells it. */
function filler(found: Assumption[], kind: string) {
  return <T extends object, K extends keyof T & string>(
    target: T,
    path: Path,
    key: K,
    value: T[K],
    why: string,
    only?: Mode,
  ) => {
    if (target[key] !== undefined) return;
    target[key] = value;
    found.push({ field: `${kind}.${pathText([...path, key])}`, value, why, ...(only === undefined ? {} : { only }) });
  };
}

/** Fills what depends on other fields of a valid kit. Changes the kit, which belongs to the reader. */
export function deriveKit(kit: Kit): Assumption[] {
  const found: Assumption[] = [];
  const fill = filler(found, 'kit');
  const { charger, cutoff, load } = kit;
  const plain = kit.mode === 'plain';
  if (charger.type === 'flat')
    fill(charger, ['charger'], 'efficiency', 0.85, 'low end of small converters (85 to 93 %)');
  else if (charger.type === 'linear')
    charger.efficiency ??= 1; // its loss is the voltage, which the model has
  else fill(charger, ['charger'], 'efficiency', 0.9, 'middle of small converters (85 to 93 %)');
  if (charger.type === 'linear') {
    fill(charger, ['charger'], 'dropout_V', 0.2, 'typical of linear chargers, from memory');
    fill(charger, ['charger'], 'inputVoltage_V', 4.4, 'where a linear charger with input regulation pulls a panel');
  }
  if (charger.type === 'voc-fraction')
    fill(charger, ['charger'], 'vocFraction', 0.8, 'near maximum power of silicon panels');
  if (charger.type === 'tracking')
    fill(charger, ['charger'], 'trackingEfficiency', 0.97, 'low end of hill climbing (96.5 to 99 %), from memory');
  if (charger.ceiling_V === undefined) {
    if (plain) fill(charger, ['charger'], 'ceiling_soc', 1, 'no ceiling is given: the cells are filled');
    else if (charger.ceiling_soc === undefined) {
      const top = kit.cells.table?.at(-1)?.voltage_V;
      fill(
        charger,
        ['charger'],
        'ceiling_V',
        top ?? 4.2,
        top === undefined ? 'full charge of these cells' : 'top of the voltage table',
      );
    }
  }
  if (cutoff.cutoff_V !== undefined) {
    fill(cutoff, ['cutoff'], 'tolerance_mV', 40, 'about 1 % of the threshold', 'full');
    fill(
      cutoff,
      ['cutoff'],
      'drift_uV_K',
      200,
      'order of a divider of 100 ppm parts with a reference, from memory',
      'full',
    );
  }
  if (cutoff.none === true && cutoff.restartsByItself === true && cutoff.brownout_V !== undefined)
    fill(
      cutoff,
      ['cutoff'],
      'restart_V',
      Math.round((cutoff.brownout_V + 0.1) * 100) / 100,
      'usual hysteresis of a reset circuit, 0.1 V',
    );
  if (load.average_mA === undefined) fillComposed(kit, fill);
  else if (!plain) {
    const peak = Math.max(150, Math.ceil(load.average_mA));
    fill(load, ['load'], 'transmitPeak_mA', peak, 'a transmission at 22 dBm with its processor, from memory', 'full');
  }
  if (!plain)
    fill(load, ['load'], 'inrush_mA', 250, 'charging of the supply capacitors at the restart, from memory', 'full');
  if (!plain) {
    kit.enclosure ??= {};
    fill(kit.enclosure, ['enclosure'], 'solarGain_K', 10, 'a small closed box in full sun, from memory', 'full');
  }
  if (panelsOf(kit).length > 1 && charger.type === 'tracking')
    found.push({
      field: 'kit.panel',
      value: panelsOf(kit).length,
      why: 'each panel is taken at its own maximum power: too bright when their tilts differ',
      only: 'full',
    });
  return found;
}

function fillComposed(kit: Kit, fill: ReturnType<typeof filler>): void {
  const { load } = kit;
  const { transmit, parts } = load;
  const regulated = transmit?.supply === 'regulated' || parts?.some((part) => part.supply === 'regulated') === true;
  if (regulated) {
    const common = { type: 'linear', output_V: 3.3, quiescent_uA: 5 } as const;
    fill(load, ['load'], 'regulator', common, 'a frugal linear regulator, from memory');
  }
  if (load.regulator?.type === 'switching')
    fill(load.regulator, ['load', 'regulator'], 'efficiency', 0.9, 'typical at some milliamperes, from memory');
  for (const part of parts ?? []) if (part.seconds_per_h === undefined) part.duty ??= 1; // as its description says
}

/** Fills what depends on other fields of a valid perch. Changes the perch, which belongs to the reader. */
export function derivePerch(perch: Perch): Assumption[] {
  const found: Assumption[] = [];
  const fill = filler(found, 'perch');
  const { latitude_deg, longitude_deg } = perch;
  if (latitude_deg !== undefined) {
    fill(perch, [], 'azimuth_deg', facingEquator_deg(latitude_deg), 'the panel faces the equator');
    fill(perch, [], 'tilt_deg', winterTilt_deg(latitude_deg), 'latitude + 15 degrees, which favours the winter');
    fill(perch, [], 'climate', 'nearest', 'the nearest built-in climate stands for the place');
  }
  if (longitude_deg !== undefined)
    fill(
      perch,
      [],
      'utcOffset_h',
      Math.round(longitude_deg / 15),
      'time zone by longitude; only shade by hour depends on it',
    );
  return found;
}
