/** The papers of the bench as plain values: what each says, before it is set. No key of a unit and, but on the packing list, no customer. */
import { userError } from '../../core/units/index.ts';
import {
  type Carton,
  type Certificate,
  codeText,
  type Label,
  type LabelLayout,
  type PackingList,
  type PaperRequest,
  type PaperRequestOf,
  type Plan,
  type QrLevel,
  type QuickStart,
  SERIAL_MARK,
  type UnitState,
} from '../../records/bench/index.ts';
import { nearestWord } from '../../records/index.ts';
import { cardOf, NO_MAKER } from './card-of.ts';
import { certificateOf } from './certificate-of.ts';
import { batchIn, planIn, planOfUnit, unitIn } from './find.ts';
import type { PlanKit } from './kit-of-plan.ts';
import { cartonOf, packingOf } from './parcel-of.ts';
import type { BenchState } from './state.ts';
import { linesOf } from './units.ts';

export type PaperContent =
  | {
      readonly paper: 'labels';
      readonly labels: readonly Label[];
      readonly layout: LabelLayout;
      readonly level: QrLevel;
      readonly startAt: number;
      readonly barcode: boolean;
      readonly outline: boolean;
    }
  | { readonly paper: 'certificate'; readonly certificates: readonly Certificate[] }
  | { readonly paper: 'card'; readonly card: QuickStart }
  | { readonly paper: 'carton'; readonly carton: Carton }
  | { readonly paper: 'packing'; readonly packing: PackingList };

export interface PaperOutcome {
  readonly content: PaperContent;
  readonly size: PaperRequest['size'];
  /** For the name of its file: small letters, digits, hyphens and dots. */
  readonly name: string;
  /** Serials that it is about. */
  readonly serials: readonly string[];
  /** What to know before it is printed. */
  readonly notes: readonly string[];
}

/** What a paper needs besides the bench. */
export interface PaperOutside {
  /** The kit that a plan builds, where the workshop holds it. */
  readonly kitOf: (plan: Plan) => PlanKit | undefined;
  /** Day of the paper, ISO 8601. */
  readonly day: string;
}

/** Plans whose kits a paper asks for, each with the region that its kit is for; every other paper needs none. */
export function plansOf(state: BenchState, request: PaperRequest): ReadonlyMap<Plan, string | undefined> {
  if (request.paper === 'card') return new Map([[planIn(state, request.plan).plan, request.region]]);
  if (request.paper === 'carton') return new Map([[planIn(state, request.plan).plan, undefined]]);
  if (request.paper !== 'certificate') return new Map();
  return new Map(
    unitsOf(state, request.things).units.map((unit) => [planOfUnit(state, unit), batchIn(state, unit.batch).region]),
  );
}

/**
 * What a paper says.
 *
 * @throws UserError where something that it names is not there or cannot stand on it
 */
export function paperOf(state: BenchState, request: PaperRequest, outside: PaperOutside): PaperOutcome {
  const { size } = request;
  switch (request.paper) {
    case 'labels': {
      const { units, notes } = unitsOf(state, request.things);
      const { layout, level, startAt, barcode, outline } = request;
      const labels = units.map((unit) => labelOf(state, unit, request));
      return {
        content: { paper: 'labels', labels, layout, level, startAt, barcode, outline },
        size,
        name: `labels-${stem(request.things)}`,
        serials: units.map((unit) => unit.serial),
        notes,
      };
    }
    case 'certificate': {
      const { units, notes } = unitsOf(state, request.things);
      const plans = units.map((unit) => planOfUnit(state, unit));
      return {
        content: {
          paper: 'certificate',
          certificates: units.map((unit, i) => certificateOf(state, unit, outside.kitOf(plans[i]!)?.kit)),
        },
        size,
        name: `certificate-${stem(request.things)}`,
        serials: units.map((unit) => unit.serial),
        notes: [...notes, ...(plans.some((plan) => plan.maker === undefined) ? [NO_MAKER] : [])],
      };
    }
    case 'card': {
      const { card, notes } = cardOf(state, request, outside.kitOf(planIn(state, request.plan).plan));
      const content = { paper: 'card', card } as const;
      return { content, size, name: `card-${request.plan}-${request.region.toLowerCase()}`, serials: [], notes };
    }
    case 'carton': {
      const { carton, notes } = cartonOf(state, request, outside.kitOf(planIn(state, request.plan).plan), outside.day);
      return { content: { paper: 'carton', carton }, size, name: `carton-${request.plan}`, serials: [], notes };
    }
    case 'packing': {
      const { packing, notes } = packingOf(state, request, outside.day);
      const serials = packing.lines.flatMap((line) => line.serials);
      return { content: { paper: 'packing', packing }, size, name: `packing-${request.order}`, serials, notes };
    }
  }
}

const stem = (things: readonly string[]) =>
  (things.length === 1 ? things[0]! : `${things[0]}-and-${things.length - 1}-more`)
    .toLowerCase()
    .replace(/[^a-z0-9.]+/g, '-')
    .replace(/^[-.]+|[-.]+$/g, '') || 'units';

/** The units that are named, each once, in the order named; of a batch all but those that are scrapped. */
function unitsOf(
  state: BenchState,
  things: readonly string[],
): { readonly units: readonly UnitState[]; readonly notes: readonly string[] } {
  const units = new Map<string, UnitState>();
  let scrapped = 0;
  for (const thing of things) {
    if (!state.batches.has(thing)) {
      const unit = unitNamed(state, thing);
      units.set(unit.serial, unit);
      continue;
    }
    for (const serial of batchIn(state, thing).serials) {
      const unit = state.units.get(serial)!;
      if (unit.stage === 'scrapped') scrapped++;
      else units.set(serial, unit);
    }
  }
  if (units.size === 0)
    throw userError('no-units', `every unit of ${things.join(', ')} is scrapped: nothing is left to print`, {
      field: 'things',
    });
  return {
    units: [...units.values()],
    notes: scrapped === 0 ? [] : [`${scrapped} scrapped ${scrapped === 1 ? 'unit is' : 'units are'} left out.`],
  };
}

function unitNamed(state: BenchState, typed: string): UnitState {
  try {
    return unitIn(state, typed);
  } catch (error) {
    const batch = nearestWord(typed, [...state.batches.keys()]);
    // A key is written small, a serial in capitals: what is near to a batch was meant as one.
    if (batch !== undefined && typed === typed.toLowerCase()) batchIn(state, typed);
    throw error;
  }
}

const LITHIUM = 'Lithium-ion cells inside: do not open, crush or heat above 60 °C.';

function labelOf(state: BenchState, unit: UnitState, { code }: PaperRequestOf<'labels'>): Label {
  const plan = planOfUnit(state, unit);
  const { region } = batchIn(state, unit.batch);
  const cells = linesOf(plan).flatMap(({ part }) => state.parts.get(part)?.cell ?? []);
  // Cells of another kind are rare enough to be told; where no part tells of cells they are taken for lithium-ion.
  const lithium = cells.length === 0 || cells.some((cell) => cell.lithium);
  return {
    code: codeText(code ?? plan.labelUrl ?? SERIAL_MARK, unit.serial),
    serial: unit.serial,
    lines: [plan.name, `revision ${plan.kitRevision} · ${region}`],
    caution: lithium ? LITHIUM : '',
  };
}
