/** Does the kit of an order stay up where its units will stand? Told before the parcel leaves, never a reason to refuse it. */
import type { ChangeSummary, YearStrip } from '../../core/energy/index.ts';
import type { Interval } from '../../core/math/index.ts';
import { userError } from '../../core/units/index.ts';
import { nearestClimate, REFERENCE_CLIMATES } from '../../core/weather/index.ts';
import type { Kit } from '../../records/index.ts';
import { tryChanges } from '../changes.ts';
import { darkStatistics, forecast, sampleDarkSeasons } from '../forecast.ts';
import { nodeOf } from '../node-of.ts';
import { makeWeather } from '../site.ts';
import { spotOf } from '../spot.ts';
import type { WorkshopStore } from '../store-port.ts';
import { makeSupply } from '../supply.ts';
import { DEFAULT_TARGET, readTarget, type State, stateOf } from '../target.ts';
import { stripOf, worstOf } from '../where-site.ts';
import { MONTHS } from '../words.ts';
import { orderIn, planIn } from './find.ts';
import { kitOfPlan } from './kit-of-plan.ts';
import type { BenchState, OrderState } from './state.ts';

/** Winters run: without a dark one, 72 are the fewest that can show one in twenty (yearsNeeded of the target). */
export const CHECK_YEARS = 80;
/** Dark seasons on which changes are tried. */
const SAMPLE = 24;

export interface PlaceCheck {
  readonly command: 'batch order check';
  readonly verdict: string;
  readonly order: string;
  readonly place: string;
  readonly kit: string;
  readonly kitNumber: number;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  readonly climate: string;
  readonly distance_km: number;
  readonly state: State;
  readonly years: number;
  readonly seed: number;
  readonly darkYears: number;
  readonly darkYearShare: Interval;
  readonly dark_h_per_year: number;
  readonly worstMonth: number;
  /** Changes tried, the smallest first; the last one holds if any does. */
  readonly changes: readonly ChangeSummary[];
  readonly strip: YearStrip;
  readonly notes: readonly string[];
}

/**
 * Position of an order: its own, or that of a reference climate of the same name.
 *
 * @throws UserError (`order-no-place`) when it has neither
 */
export function positionOf(order: Pick<OrderState, 'key' | 'place'>): { latitude_deg: number; longitude_deg: number } {
  const { name, latitude_deg, longitude_deg } = order.place ?? {};
  if (latitude_deg !== undefined && longitude_deg !== undefined) return { latitude_deg, longitude_deg };
  const named = REFERENCE_CLIMATES.find((climate) => climate.name.toLowerCase() === name?.trim().toLowerCase());
  if (named !== undefined) return { latitude_deg: named.latitude_deg, longitude_deg: named.longitude_deg };
  throw userError(
    'order-no-place',
    `${name === undefined ? `order ${order.key} has no place` : `'${name}' is no reference climate and order ${order.key} has no position`}: place the order again with --at LAT,LON`,
    { field: 'place' },
  );
}

/** Runs a kit at a position in the weather of the nearest reference climate. */
export function kitAtPlace(
  kit: Kit,
  name: string,
  at: { readonly latitude_deg: number; readonly longitude_deg: number },
  years: number,
  seed: number,
) {
  const { latitude_deg, longitude_deg } = at;
  const { climate, distance_km } = nearestClimate(latitude_deg, longitude_deg);
  const { perch, plan } = spotOf(name, latitude_deg, longitude_deg, climate.elevation_m);
  // Seasons run from the sunniest month to the next, so one calendar year more is made.
  const site = makeWeather(plan, perch, seed, years + 1);
  const supply = makeSupply(kit, perch, plan, site);
  const { run } = forecast(nodeOf(kit), supply.hours, site.startMonth, years);
  const statistics = darkStatistics(run, seed);
  const target = readTarget(DEFAULT_TARGET);
  const state = stateOf(statistics.darkYearShare, target);
  const sample = sampleDarkSeasons(site.hours, run, SAMPLE);
  const changes =
    state === 'stays up' || sample.seasons.length === 0
      ? []
      : tryChanges(
          ...([kit, perch, plan, site, sample] as const),
          makeSupply(kit, perch, plan, { ...site, hours: sample.weather }),
          ...([supply, run, target] as const),
        );
  return {
    ...{ state, changes, statistics, latitude_deg, longitude_deg, distance_km },
    ...{ elevation_m: climate.elevation_m, climate: climate.name, worstMonth: worstOf(run), strip: stripOf(run) },
  };
}

/**
 * `sunperch batch order check`.
 *
 * @throws UserError when the order, its place or the kit of its plan is not there
 */
export async function placeCheck(
  store: Pick<WorkshopStore, 'history'>,
  state: BenchState,
  key: string,
  { years = CHECK_YEARS, seed = 1 }: { readonly years?: number | undefined; readonly seed?: number | undefined } = {},
): Promise<PlaceCheck> {
  const order = orderIn(state, key);
  const at = positionOf(order);
  const { plan } = planIn(state, order.plan);
  const found = await kitOfPlan(store, plan);
  if (found === undefined)
    throw userError('no-kit-of-plan', `the workshop does not hold the kit ${plan.kit} that order ${order.key} is for`, {
      field: 'plan',
    });
  const place = order.place?.name ?? order.key;
  const { statistics, ...looked } = kitAtPlace(found.kit, place, at, years, seed);
  const { darkYears, darkYearShare, dark_h_per_year } = statistics;
  return {
    command: 'batch order check',
    verdict: verdictOf(looked, place, darkYears, years),
    order: order.key,
    place,
    kit: plan.kit,
    kitNumber: found.number,
    ...looked,
    years,
    seed,
    darkYears,
    darkYearShare,
    dark_h_per_year: dark_h_per_year.mean,
    notes: [
      `weather of ${looked.climate}, ${Math.round(looked.distance_km)} km away, and its height of ${looked.elevation_m} m; no skyline, the panel facing the equator: a perch file tells more (sunperch year)`,
      ...(found.sameRevision
        ? []
        : [`the workshop has no revision ${plan.kitRevision} of ${plan.kit}: its newest is taken`]),
    ],
  };
}

function verdictOf(
  { state, changes, worstMonth }: Pick<ReturnType<typeof kitAtPlace>, 'state' | 'changes' | 'worstMonth'>,
  place: string,
  dark: number,
  years: number,
): string {
  const seen = `${dark === 0 ? 'no' : dark} dark ${dark === 1 ? 'winter' : 'winters'} in ${years}`;
  if (state === 'stays up') return `This kit stays up at ${place}: ${seen}.`;
  const holds = changes.find((change) => change.holds);
  const mend =
    holds === undefined
      ? changes.length === 0
        ? ''
        : ' Nothing that was tried makes it hold.'
      : ` The smallest change that holds: ${holds.change}.`;
  const said =
    state === 'goes dark' ? `will go dark at ${place} in ${MONTHS[worstMonth - 1]}` : `is on the edge at ${place}`;
  return `This kit ${said}: ${seen}.${mend}`;
}
