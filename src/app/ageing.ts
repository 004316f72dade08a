import { type AgeingInput, ageYears, type Chemistry, yearsTo } from '../core/cells/index.ts';
import type { AgeingCurve } from '../core/energy/index.ts';
import type { Kit } from '../records/index.ts';
import { type CellAge, NEW_CELLS } from './node-of.ts';

/** What one simulated year does to the cells. */
export interface CellYear {
  readonly temperature_degC: Float32Array;
  readonly stateOfCharge: Float32Array;
  readonly equivalentFullCycles: number;
  readonly depth: number;
}

const inputOf = (kit: Kit, year: CellYear): AgeingInput => ({
  chemistry: kit.cells.chemistry as Chemistry,
  charge: { socHours: year.stateOfCharge },
  temperatureHours_degC: year.temperature_degC,
  equivalentFullCycles_per_year: year.equivalentFullCycles,
  depth: Math.min(1, Math.max(0, year.depth)),
});

/** The cells after some years of the same year; new where ageing is not modelled (plain mode, a table of one's own). */
export function cellsAfter(kit: Kit, year: CellYear, age_years: number): CellAge {
  if (age_years <= 0 || kit.mode === 'plain') return NEW_CELLS;
  const course = ageYears(inputOf(kit, year), [age_years]);
  if (!course.modelled) return NEW_CELLS;
  return { capacityShare: Math.max(0.05, course.capacityShare[0]!), resistanceFactor: course.resistanceFactor[0]! };
}

/** Years to 80 % of the capacity, shortest and longest of the models; null where not modelled. */
export function lifeOf(kit: Kit, year: CellYear): { low: number; high: number } | null {
  if (kit.mode === 'plain') return null;
  const life = yearsTo(inputOf(kit, year), 0.8);
  return life.modelled ? { low: life.low_years, high: life.high_years } : null;
}

/** Capacity over the years by the default model and the second opinion, with everything that weakens the figure. */
export function ageingCurve(kit: Kit, year: CellYear, ceilings: AgeingCurve['ceilings']): AgeingCurve {
  const years = Array.from({ length: 31 }, (_, i) => i / 2);
  const nothing = {
    modelled: false,
    years: [],
    capacityShare: [],
    capacityShareSecond: [],
    yearsTo80: null,
    ceilings: [],
  };
  if (kit.mode === 'plain') return { ...nothing, warnings: ['Ageing is not part of the plain mode.'] };
  const input = inputOf(kit, year);
  const first = ageYears(input, years);
  const second = ageYears({ ...input, model: 'nca-2016' }, years);
  if (!first.modelled || !second.modelled)
    return { ...nothing, warnings: [first.modelled ? 'Ageing is not modelled.' : first.reason] };
  return {
    modelled: true,
    years,
    capacityShare: first.capacityShare,
    capacityShareSecond: second.capacityShare,
    yearsTo80: lifeOf(kit, year),
    ceilings,
    warnings: [...new Set([...first.warnings, ...second.warnings])],
  };
}
