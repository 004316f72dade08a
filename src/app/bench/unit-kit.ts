/** The kit of one unit: the plan's, by the variant of its region, with the values that were measured on it. */
import type { Assumption } from '../../core/energy/index.ts';
import { userError } from '../../core/units/index.ts';
import type { Setting } from '../../formats/setting.ts';
import { UNIT_FIELDS, type UnitField } from '../../records/bench/index.ts';
import { applySettings } from '../../records/index.ts';
import type { Ports } from '../ports.ts';
import type { WorkshopStore } from '../store-port.ts';
import { figure } from '../words.ts';
import { batchIn, planOfUnit, unitIn } from './find.ts';
import { kitOfPlan, type PlanKit } from './kit-of-plan.ts';
import type { BenchState } from './state.ts';
import { ownValues, settingsOf, type UsedValue } from './unit-values.ts';

/** What every forecast of a unit tells beside its own answer. */
export interface UnitTold {
  readonly serial: string;
  readonly kit: string;
  readonly kitNumber: number;
  readonly region: string;
  /** Measured on this unit, with what became of each. */
  readonly values: readonly UsedValue[];
  /** What could be measured and was not: the kit's own, in words. */
  readonly fromKit: readonly string[];
  /** What the variant of the region changed in the kit. */
  readonly notes: readonly string[];
}

export interface UnitKit {
  readonly told: UnitTold;
  readonly found: PlanKit;
  /** Of the variant, then of what was measured. */
  readonly settings: readonly Setting[];
  readonly assumptions: readonly Assumption[];
}

/**
 * The kit of a unit with its settings.
 *
 * @throws UserError when the unit, or the kit of its plan, is not there
 */
export async function unitKit(
  store: Pick<WorkshopStore, 'history'>,
  state: BenchState,
  typed: string,
): Promise<UnitKit> {
  const unit = unitIn(state, typed);
  const { serial } = unit;
  const plan = planOfUnit(state, unit);
  const { region } = batchIn(state, unit.batch);
  const found = await kitOfPlan(store, plan, region);
  if (found === undefined)
    throw userError('no-kit-of-unit', `the workshop does not hold the kit ${plan.kit} that ${serial} is built by`, {
      field: 'unit',
    });
  const { settings, used } = settingsOf(found.kit, ownValues(state, serial));
  const measured = new Set(used.filter((value) => value.set.length > 0).map((value) => value.field));
  return {
    told: {
      serial,
      kit: plan.kit,
      kitNumber: found.number,
      region,
      values: used,
      fromKit: (Object.keys(UNIT_FIELDS) as UnitField[])
        .filter((field) => !measured.has(field))
        .map((field) => UNIT_FIELDS[field]),
      notes: found.notes,
    },
    found,
    settings: [...found.set, ...settings],
    assumptions: [
      ...used.map(assumed),
      ...found.notes.map((note) => ({ field: 'kit', value: note, why: `the plan says so for ${region}` })),
    ],
  };
}

function assumed({ field, value, low, high, how, at, set, unused }: UsedValue): Assumption {
  const span = low === null || high === null ? '' : ` (95 %: ${figure(low, 4)} to ${figure(high, 4)})`;
  const name = UNIT_FIELDS[field];
  return {
    field: set.length === 0 ? `unit.${field}` : set.join(', '),
    value: `${name}: ${figure(value, 4)}${span}`,
    why: `measured on this unit, ${how}, ${at.slice(0, 10)}${unused === null ? '' : `; not used: ${unused}`}`,
  };
}

/** The name under which `portsOfUnit` gives the kit of a unit to whatever reads a kit's file. */
export const unitFile = ({ told }: UnitKit): string => `unit ${told.serial}`;

/** Ports that read the kit of a unit in place of a file: what takes a kit's file takes a unit. */
export function portsOfUnit<P extends Pick<Ports, 'readText'>>(ports: P, unit: UnitKit): P {
  const { raw } = applySettings(unit.found.source.value, unit.settings, 'kit');
  const text = JSON.stringify(raw);
  const name = unitFile(unit);
  return { ...ports, readText: async (path: string) => (path === name ? text : ports.readText(path)) };
}

/** An outcome of a unit's kit with what is told of the unit. */
export function ofUnit<O extends { readonly verdict: string; readonly assumptions: readonly Assumption[] }>(
  outcome: O,
  unit: UnitKit,
): O & { readonly unit: UnitTold } {
  return {
    ...outcome,
    verdict: `${unit.told.serial}: ${outcome.verdict}`,
    assumptions: [...unit.assumptions, ...outcome.assumptions],
    unit: unit.told,
  };
}
