/** Choosing lots: the oldest that is not kept back and has enough. */
import { userError } from '../../core/units/index.ts';
import type { UnitState } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { planOfUnit, stepIn, unitIn } from './find.ts';
import type { BenchState, LotState } from './state.ts';
import { type FitRequest, fitPart, linesOf, tickStep } from './units.ts';

/** The oldest lot of the first of some parts that has so many left; undefined where there is none. */
export function lotFor(
  state: BenchState,
  parts: readonly string[],
  count: number,
  taken: ReadonlyMap<string, number> = new Map(),
): LotState | undefined {
  for (const part of parts) {
    const lots = [...state.lots.values()]
      .filter((lot) => lot.part === part && lot.quarantined === null && lot.left - (taken.get(lot.key) ?? 0) >= count)
      .sort((a, b) => (a.receivedAt < b.receivedAt ? -1 : a.receivedAt > b.receivedAt ? 1 : 0));
    if (lots[0] !== undefined) return lots[0];
  }
  return undefined;
}

/** Pieces of a part or its stand-ins that a unit holds. */
export const heldOf = (unit: UnitState, parts: readonly string[]): number =>
  unit.fitted.reduce((sum, f) => sum + (parts.includes(f.part) ? f.count : 0), 0);

/**
 * Parts into a unit. Without a lot, from the oldest that has enough; without a part, everything of the next step that is not in
 * yet.
 */
export function fitFromStores(
  state: BenchState,
  serial: string,
  request: { readonly [K in keyof FitRequest]?: FitRequest[K] | undefined },
): Deed[] {
  const { part, lot, count, short } = request;
  if (part !== undefined && lot !== undefined) return fitPart(state, serial, { part, lot, count, short });
  const unit = unitIn(state, serial);
  const plan = planOfUnit(state, unit);
  const lines = linesOf(plan);
  const next = plan.steps.find((step) => !unit.steps.has(step.key));
  const wanted = part === undefined ? (next?.parts ?? []) : [part];
  if (wanted.length === 0)
    throw userError('nothing-to-fit', `${unit.serial}: the next step fits no parts: name a part`, { field: 'part' });
  const deeds: Deed[] = [];
  const taken = new Map<string, number>();
  for (const one of wanted) {
    const line = lines.find((l) => l.part === one || l.alternates.includes(one));
    if (line === undefined)
      throw userError('not-in-the-plan', `${one} stands in no line of this plan's bill of materials`, {
        field: 'part',
      });
    const parts = part === undefined ? [line.part, ...line.alternates] : [one];
    const rest = count ?? line.count - heldOf(unit, parts);
    if (rest <= 0) continue;
    const found = lotFor(state, parts, rest, taken);
    if (found === undefined)
      throw userError(
        'no-lot',
        `no lot of ${parts.join(' or ')} has ${rest} left that are not quarantined: receive one, or name a lot`,
        { field: 'lot' },
      );
    taken.set(found.key, (taken.get(found.key) ?? 0) + rest);
    deeds.push(...fitPart(state, serial, { part: found.part, lot: found.key, count: rest, short }));
  }
  if (deeds.length === 0)
    throw userError('fitted-already', `${unit.serial} holds all parts of this step already`, { field: 'part' });
  return deeds;
}

export interface TickRequest {
  readonly step: string;
  readonly time_s?: number | undefined;
  /** Leaves the stores alone: the parts are noted otherwise, or not at all. */
  readonly partsLeft?: boolean | undefined;
}

/**
 * A step done, and its parts out of the oldest lots into the unit, so that nobody has to think of it: what a unit holds is known by
 * lot. Parts that are in already are not taken twice; a part of which no lot was ever received is not kept by lot, and is passed over.
 */
export function tickAndFit(state: BenchState, serial: string, { step, time_s, partsLeft }: TickRequest): Deed[] {
  const ticked = tickStep(state, serial, step, time_s);
  if (partsLeft) return ticked;
  const unit = unitIn(state, serial);
  const plan = planOfUnit(state, unit);
  const lines = linesOf(plan);
  const lots = [...state.lots.values()];
  const fitted: Deed[] = [];
  for (const wanted of stepIn(plan, step).parts) {
    const line = lines.find((l) => l.part === wanted || l.alternates.includes(wanted));
    if (line === undefined) continue;
    const parts = [line.part, ...line.alternates];
    const count = line.count - heldOf(unit, parts);
    if (count <= 0 || !lots.some((lot) => parts.includes(lot.part))) continue;
    const lot = lotFor(state, parts, count);
    if (lot === undefined)
      throw userError(
        'no-lot',
        `no lot of ${parts.join(' or ')} has ${count} left that are not quarantined: receive or count one, fit another, or tick without taking parts`,
        { field: 'step' },
      );
    fitted.push(...fitPart(state, serial, { part: lot.part, lot: lot.key, count }));
  }
  return [...fitted, ...ticked];
}
