/** Does the kit of an order stay up where its units will stand? Told before the parcel leaves, never a reason to refuse it. */
import type { ChangeSummary, YearStrip } from '../../core/energy/index.ts';
import type { Interval } from '../../core/math/index.ts';
import { userError } from '../../core/units/index.ts';
import { nearestClimate } from '../../core/weather/index.ts';
import { applySettings, type Kit, readKit } from '../../records/index.ts';
import { tryChanges } from '../changes.ts';
import { darkStatistics, forecast, sampleDarkSeasons } from '../forecast.ts';
import type { PlaceInput } from '../job-kinds.ts';
import { nodeOf } from '../node-of.ts';
import type { Ports } from '../ports.ts';
import { makeWeather } from '../site.ts';
import { spotOf, spotOfRecord } from '../spot.ts';
import type { WorkshopStore } from '../store-port.ts';
import { makeSupply } from '../supply.ts';
import { DEFAULT_TARGET, readTarget, type State, stateOf } from '../target.ts';
import { stripOf, worstOf } from '../where-site.ts';
import { MONTHS } from '../words.ts';
import { orderIn, planIn } from './find.ts';
import { kitOfPlan } from './kit-of-plan.ts';
import { spotOfOrder } from './order-spot.ts';
import type { BenchState } from './state.ts';

/** Winters run: without a dark one, 72 are the fewest that can show one in twenty (yearsNeeded of the target). */
export const CHECK_YEARS = 80;
/** Dark seasons on which changes are tried. */
const SAMPLE = 24;

/** What a kit does at a place: the answer of the job, the same for every order of that kit and place. */
export interface PlaceOutcome {
  readonly command: 'place';
  readonly verdict: string;
  readonly place: string;
  readonly kit: string;
  readonly kitNumber: number;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  /** Perch of the workshop that the place is; null where only its position is known. */
  readonly perch: string | null;
  /** The nearest reference climate and how far it is; of a perch, whatever its own weather is made of. */
  readonly climate: string;
  readonly distance_km: number | null;
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

export interface PlaceCheck extends Omit<PlaceOutcome, 'command'> {
  readonly command: 'batch order check';
  readonly order: string;
}

/** Told when the steps of the check go by. */
type Progress = Ports['progress'];

/** Where a kit is run: a position, or a perch of the workshop that stands there. */
type At = Pick<PlaceInput, 'latitude_deg' | 'longitude_deg'> & { readonly perch?: PlaceInput['perch'] };

/** Runs a kit at a perch of the workshop, or at a position in the weather of the nearest reference climate. */
export function kitAtPlace(
  kit: Kit,
  name: string,
  { latitude_deg, longitude_deg, perch: known = null }: At,
  years: number,
  seed: number,
  progress: Progress = () => undefined,
) {
  const near = nearestClimate(latitude_deg, longitude_deg);
  const { perch, plan } =
    known === null
      ? spotOf(name, latitude_deg, longitude_deg, near.climate.elevation_m)
      : spotOfRecord(known.value, known.key);
  const climate = known === null ? near.climate.name : plan.weather;
  progress(0, 100, known === null ? `weather of ${climate}` : climate);
  // Seasons run from the sunniest month to the next, so one calendar year more is made.
  const site = makeWeather(plan, perch, seed, years + 1);
  progress(35, 100, 'light and panel');
  const supply = makeSupply(kit, perch, plan, site);
  progress(55, 100, `${years} winters`);
  const { run } = forecast(nodeOf(kit), supply.hours, site.startMonth, years);
  const statistics = darkStatistics(run, seed);
  const target = readTarget(DEFAULT_TARGET);
  const state = stateOf(statistics.darkYearShare, target);
  const sample = sampleDarkSeasons(site.hours, run, SAMPLE);
  progress(70, 100, 'the smallest change that holds');
  const changes =
    state === 'stays up' || sample.seasons.length === 0
      ? []
      : tryChanges(
          ...([kit, perch, plan, site, sample] as const),
          makeSupply(kit, perch, plan, { ...site, hours: sample.weather }),
          ...([supply, run, target] as const),
        );
  return {
    ...{ state, changes, statistics, latitude_deg, longitude_deg, climate, perch: known?.key ?? null },
    distance_km: known === null ? near.distance_km : null,
    ...{ elevation_m: plan.place.elevation_m, worstMonth: worstOf(run), strip: stripOf(run) },
  };
}

/** What is to be computed for an order: a kit as plain value, at a place. Orders that ask the same get the same answer. */
export interface PlaceAsked {
  readonly kit: unknown;
  readonly place: PlaceInput;
}

/**
 * The question of an order, by the kit of its plan and the variant of its region.
 *
 * @param kitFor how kits are looked up
 * @throws UserError when the order, its place or the kit of its plan is not there
 */
export async function placeAsked(
  store: Pick<WorkshopStore, 'history' | 'newest'>,
  state: BenchState,
  key: string,
  kitFor: typeof kitOfPlan = kitOfPlan,
): Promise<PlaceAsked> {
  const order = orderIn(state, key);
  const spot = await spotOfOrder(store, order);
  const { plan } = planIn(state, order.plan);
  const found = await kitFor(store, plan, order.region);
  if (found === undefined)
    throw userError('no-kit-of-plan', `the workshop does not hold the kit ${plan.kit} that order ${order.key} is for`, {
      field: 'plan',
    });
  return {
    kit: applySettings(found.source.value, found.set, 'kit').raw,
    place: {
      ...spot,
      kit: plan.kit,
      kitNumber: found.number,
      notes: [
        ...found.notes,
        ...(found.sameRevision
          ? []
          : [`the workshop has no revision ${plan.kitRevision} of ${plan.kit}: its newest is taken`]),
      ],
    },
  };
}

/** The answer to such a question. */
export function placeAnswer(
  kit: Kit,
  { name, kit: key, kitNumber, notes, ...at }: PlaceInput,
  { years = CHECK_YEARS, seed = 1 }: { readonly years?: number | undefined; readonly seed?: number | undefined } = {},
  progress?: Progress,
): PlaceOutcome {
  const { statistics, ...looked } = kitAtPlace(kit, name, at, years, seed, progress);
  const { darkYears, darkYearShare, dark_h_per_year } = statistics;
  return {
    command: 'place',
    verdict: verdictOf(looked, name, darkYears, years),
    ...{ place: name, kit: key, kitNumber },
    ...looked,
    ...{ years, seed, darkYears, darkYearShare },
    dark_h_per_year: dark_h_per_year.mean,
    notes: [
      looked.distance_km === null
        ? `at the perch ${looked.perch} of the workshop, with its height and skyline; ${looked.climate}`
        : `weather of ${looked.climate}, ${Math.round(looked.distance_km)} km away, and its height of ${looked.elevation_m} m; no skyline, the panel facing the equator: a perch file tells more (sunperch year)`,
      ...notes,
    ],
  };
}

/**
 * `sunperch batch order check`.
 *
 * @throws UserError when the order, its place or the kit of its plan is not there
 */
export async function placeCheck(
  store: Pick<WorkshopStore, 'history' | 'newest'>,
  state: BenchState,
  key: string,
  options: { readonly years?: number | undefined; readonly seed?: number | undefined } = {},
): Promise<PlaceCheck> {
  const { kit, place } = await placeAsked(store, state, key);
  const source = { value: kit, placeOf: () => ({}), placeOfKey: () => ({}) };
  const { command: _, ...answer } = placeAnswer(readKit(source).value, place, options);
  return { command: 'batch order check', order: key, ...answer };
}

/** Before any winter was run it is not known. */
export type PlaceWord = State | 'not checked yet';

function verdictOf(
  { state, changes, worstMonth }: Pick<ReturnType<typeof kitAtPlace>, 'state' | 'changes' | 'worstMonth'>,
  place: string,
  dark: number,
  years: number,
): string {
  const seen = `${dark === 0 ? 'no' : dark} dark ${dark < 2 ? 'winter' : 'winters'} in ${years}`;
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
