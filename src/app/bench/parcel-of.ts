/** What goes on a carton with lithium cells, and into the packing list of an order. */
import { cautionOf } from '../../core/cells/index.ts';
import { userError } from '../../core/units/index.ts';
import {
  type Carton,
  type PackingList,
  type PaperRequestOf,
  type Plan,
  reasonsNotToShip,
} from '../../records/bench/index.ts';
import { NO_MAKER, revisionNotes } from './card-of.ts';
import { makerOf } from './certificate-of.ts';
import { orderIn, planIn, planOfUnit } from './find.ts';
import type { PlanKit } from './kit-of-plan.ts';
import { type BenchState, quarantinedLots } from './state.ts';
import { linesOf } from './units.ts';

interface CellFacts {
  readonly count: number;
  readonly nominal_V: number;
  readonly capacity_mAh: number;
}

/** The cells of a unit: of the parts of the plan that are cells; else of the kit. */
function cellsOf(
  state: BenchState,
  plan: Plan,
  found: PlanKit | undefined,
): { readonly cells: CellFacts; readonly notes: readonly string[] } {
  const field = 'plan';
  const lines = linesOf(plan).flatMap(({ part, count }) => {
    const { name = part, cell } = state.parts.get(part) ?? {};
    return cell === undefined ? [] : [{ name, count, ...cell }];
  });
  const [first, ...others] = lines;
  if (first !== undefined) {
    if (lines.every((line) => !line.lithium))
      throw userError('no-lithium', `the cells of ${plan.name} are no lithium cells: these marks are not for them`, {
        field,
      });
    // Facts of a carton are those of one kind of cell; two kinds are counted as the larger, which errs to the safe side.
    const energy = (cell: CellFacts) => cell.nominal_V * cell.capacity_mAh;
    const largest = lines.reduce((a, b) => (energy(b) > energy(a) ? b : a), first);
    const count = lines.reduce((sum, line) => sum + line.count, 0);
    return {
      cells: { count, nominal_V: largest.nominal_V, capacity_mAh: largest.capacity_mAh },
      notes:
        others.length === 0
          ? []
          : [
              `${lines.map((l) => l.name).join(' and ')}: all ${count} cells are counted as ${largest.name}, the largest.`,
            ],
    };
  }
  if (found === undefined)
    throw userError(
      'no-cells',
      `no part of the plan ${plan.name} has facts of a cell, and the workshop does not hold the kit ${plan.kit}: give the part of the cells capacity_mAh and nominal_V (sunperch stores parts)`,
      { field },
    );
  const { count, voltage_V, capacity_mAh } = found.kit.cells;
  return {
    cells: { count, nominal_V: voltage_V, capacity_mAh },
    notes: [
      'No part of the plan has facts of a cell: they are those of the kit.',
      ...revisionNotes(plan.kit, plan.kitRevision, found),
    ],
  };
}

/**
 * Facts for the marks of a carton.
 *
 * @param day of the paper, ISO 8601
 * @throws UserError where nothing tells of the cells
 */
export function cartonOf(
  state: BenchState,
  request: PaperRequestOf<'carton'>,
  found: PlanKit | undefined,
  day: string,
): { readonly carton: Carton; readonly notes: readonly string[] } {
  const { plan } = planIn(state, request.plan);
  const { cells, notes } = cellsOf(state, plan, found);
  const { units, packages, packing, charge_pct } = request;
  return {
    carton: {
      maker: makerOf(plan),
      address: plan.maker?.address ?? [],
      kit: plan.name,
      units,
      cellsPerUnit: cells.count,
      nominal_V: cells.nominal_V,
      capacity_mAh: cells.capacity_mAh,
      packages,
      packing,
      day,
      ...(charge_pct === undefined ? {} : { stateOfCharge: charge_pct / 100 }),
    },
    notes: [...notes, ...(plan.maker === undefined ? [NO_MAKER] : [])],
  };
}

/**
 * The list of what lies in a parcel: the units that are kept for the order; where none is, those that went out for it.
 *
 * @param day of the list, ISO 8601
 * @throws UserError where the order has no units
 */
export function packingOf(
  state: BenchState,
  { order: key }: PaperRequestOf<'packing'>,
  day: string,
): { readonly packing: PackingList; readonly notes: readonly string[] } {
  const order = orderIn(state, key);
  const serials = [...(order.reserved.size > 0 ? order.reserved : order.shipped)].sort();
  if (serials.length === 0)
    throw userError(
      'nothing-packed',
      `no unit is kept for order ${key} and none has gone out for it: keep some first (sunperch batch order reserve ${key} SERIAL)`,
      { field: 'order' },
    );
  const units = serials.map((serial) => state.units.get(serial)!);
  const kinds = new Map<string, string[]>();
  for (const unit of units) {
    const { name, kitRevision } = planOfUnit(state, unit);
    const what = `${name}, revision ${kitRevision}`;
    kinds.set(what, [...(kinds.get(what) ?? []), unit.serial]);
  }
  const lastPlan = planOfUnit(state, units.at(-1)!);
  const quarantined = quarantinedLots(state);
  const barred = units
    .filter((unit) => unit.stage !== 'shipped')
    .flatMap((unit) => reasonsNotToShip(unit, planOfUnit(state, unit), quarantined));
  const letPass = units.flatMap((unit) =>
    planOfUnit(state, unit)
      .gates.filter((gate) => unit.overrides.has(gate.key))
      .map((gate) => `${unit.serial}: ${gate.name} was let pass with a name and a reason; its certificate tells them.`),
  );
  const charged = units.flatMap(({ serial, shipped }) =>
    shipped?.charge_pct === undefined ? [] : [`${serial} left at ${shipped.charge_pct} % charge.`],
  );
  const short = order.count - order.reserved.size - order.shipped.size;
  return {
    packing: {
      number: key,
      maker: makerOf(lastPlan),
      address: lastPlan.maker?.address ?? [],
      customer: [order.customer, ...(order.place === undefined ? [] : [order.place.name])],
      day,
      lines: [...kinds].map(([what, of]) => ({ what, count: of.length, serials: of })),
      notes: [
        ...letPass,
        ...charged,
        'Let the units stand in the sun, or charge them indoors, before the first winter.',
        ...(short > 0 ? [`${short} more of this order ${short === 1 ? 'follows' : 'follow'}.`] : []),
      ],
      cautions: ['Lithium-ion cells inside: keep dry, do not crush or open.', cautionOf('shipping-charge').text],
    },
    notes: [
      ...barred.map((reason) => `Not to be sent yet: ${reason}.`),
      ...(order.cancelled ? [`Order ${key} is cancelled.`] : []),
      ...(lastPlan.maker === undefined ? [NO_MAKER] : []),
    ],
  };
}
