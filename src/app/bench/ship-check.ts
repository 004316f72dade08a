/** What is to be known before a unit leaves: its charge against the rule, and whether its kit stays up where it goes. */
import type { Kit } from '../../records/index.ts';
import { checkCharge, type Packing, restedCharge, type ShippingRule, shippingRule } from './charge.ts';
import { orderIn, unitIn } from './find.ts';
import type { PlaceWord } from './place-check.ts';
import type { BenchState } from './state.ts';
import { unitLook } from './unit-look.ts';

export interface ShipRequest {
  readonly order?: string | undefined;
  readonly rested_V?: number | undefined;
  readonly temperature_degC?: number | undefined;
  readonly charge_pct?: number | undefined;
  readonly packing?: Packing | undefined;
}

export interface ChargeLook extends ShippingRule {
  /** null: not known. */
  readonly charge_pct: number | null;
  readonly low_pct: number | null;
  readonly high_pct: number | null;
  readonly temperature_degC: number | null;
  /** Above the limit: leaves only when the maker says that the carrier's rules allow it. */
  readonly above: boolean;
  readonly notes: readonly string[];
}

/** What is known of the place of an order. */
export interface PlaceLook {
  readonly order: string;
  readonly place: string | null;
  readonly state: PlaceWord;
  /** The full sentence with the offer of the smallest change; empty while nothing was computed. */
  readonly verdict: string;
  /** Why it cannot be checked; null where it can. */
  readonly why: string | null;
  readonly notes: readonly string[];
}

export interface ShipCheck {
  readonly command: 'ship check';
  readonly verdict: string;
  readonly serial: string;
  readonly order: string | null;
  readonly whyNotToShip: readonly string[];
  readonly charge: ChargeLook;
  readonly place: PlaceLook | null;
  /** All of it in sentences, as the answer to the shipping tells it. */
  readonly notes: readonly string[];
}

/**
 * The charge that a unit leaves with: as told, or from its rested voltage by the cells of the kit.
 *
 * @throws UserError for a voltage that is none of a rested cell
 */
export function chargeLook(serial: string, kit: Kit | undefined, request: ShipRequest): ChargeLook {
  const { rested_V, temperature_degC, charge_pct: told, packing } = request;
  const rule = shippingRule(packing);
  const rested =
    rested_V === undefined || kit === undefined ? undefined : restedCharge(kit, rested_V, temperature_degC);
  const charge_pct = told ?? rested?.charge_pct ?? null;
  const notes: string[] = [];
  if (rested_V !== undefined && kit === undefined)
    notes.push('the workshop does not hold the kit: what the rested voltage means is not known');
  if (told !== undefined) notes.push('as told');
  else if (rested !== undefined) notes.push(...rested.notes);
  const above = charge_pct !== null && charge_pct > rule.limit_pct;
  if (!above && told === undefined && rested !== undefined && rested.high_pct > rule.limit_pct)
    notes.push(
      `the reading leaves open whether it is below ${rule.limit_pct} %: up to ${rested.high_pct} % is within what it says`,
    );
  // Told either way: refusing is what `checkCharge` does when the unit leaves.
  notes.push(...checkCharge(serial, charge_pct ?? undefined, true, packing));
  const span = told === undefined ? rested : undefined;
  return {
    ...rule,
    ...{ charge_pct, low_pct: span?.low_pct ?? null, high_pct: span?.high_pct ?? null },
    ...{ temperature_degC: temperature_degC ?? null, above, notes },
  };
}

/** The sentences about a charge that go with a parcel. */
export function chargeNotes({ charge_pct, low_pct, high_pct, notes }: ChargeLook): string[] {
  if (charge_pct === null) return [...notes];
  const span = low_pct === null || high_pct === null ? '' : ` (${low_pct} to ${high_pct} %)`;
  return [`charge ${charge_pct} %${span}${notes.length === 0 ? '' : `: ${notes[0]}`}`, ...notes.slice(1)];
}

/** The sentences about a place that go with a parcel. */
export function placeNotes({ state, verdict, why, notes, place, order }: PlaceLook): string[] {
  if (verdict !== '') return [verdict, ...notes];
  if (why !== null) return [`the place was not checked: ${why}`];
  return state === 'not checked yet' ? [`whether the kit stays up at ${place ?? order} is not checked yet`] : [];
}

/**
 * What is to be known before a unit leaves; nothing is written.
 *
 * @param placeOf what is known of the place of an order
 * @throws UserError when unit or order is not there
 */
export async function shipCheck(
  state: BenchState,
  serial: string,
  request: ShipRequest,
  kit: Kit | undefined,
  placeOf: (order: string) => Promise<PlaceLook>,
): Promise<ShipCheck> {
  const unit = unitIn(state, serial);
  const key = request.order ?? unit.order;
  const order = key === null ? null : orderIn(state, key).key;
  const charge = chargeLook(unit.serial, kit, request);
  const place = order === null ? null : await placeOf(order);
  const { whyNotToShip } = unitLook(state, unit.serial);
  const notes = [...chargeNotes(charge), ...(place === null ? [] : placeNotes(place))];
  return {
    command: 'ship check',
    verdict: verdictOf(unit.serial, whyNotToShip, charge, place),
    serial: unit.serial,
    ...{ order, whyNotToShip, charge, place, notes },
  };
}

function verdictOf(serial: string, why: readonly string[], charge: ChargeLook, place: PlaceLook | null): string {
  if (why.length > 0)
    return `${serial} may not leave: ${why[0]}${why.length > 1 ? `, and ${why.length - 1} more` : ''}.`;
  const amiss = [
    ...(charge.charge_pct === null ? ['its charge is not known'] : []),
    ...(charge.above ? [`its charge of ${charge.charge_pct} % is above ${charge.limit_pct} %`] : []),
    ...(place?.state === 'goes dark' ? [`it will go dark at ${place.place ?? place.order}`] : []),
    ...(place?.state === 'on the edge' ? [`it is on the edge at ${place.place ?? place.order}`] : []),
    ...(place?.state === 'not checked yet' ? ['its place is not checked'] : []),
  ];
  return amiss.length === 0 ? `${serial} may leave.` : `${serial} may leave; to know before: ${amiss.join('; ')}.`;
}
