/** The panorama for any height of the mast, from ground that was fetched once: the same skyline, links and light as on the command line. */
import { handHeld, noiseSetting, type Station, type StationRadio, stationRadioOf, USUAL } from '../../app/link.ts';
import { linkAlong, linkScale } from '../../app/margin.ts';
import { USUAL_AIR } from '../../app/path-loss.ts';
import { makeWeather, monthlyMeans, planSite, type SiteWeather } from '../../app/site.ts';
import { RIDGES_km, type SunCourse, skylineAt_deg, skylinePairs, sunCourse, sunHours } from '../../app/skyline.ts';
import { darkestMonth, type Spot, spotOf } from '../../app/spot.ts';
import { lightOnPanel } from '../../app/supply.ts';
import type { Assumption } from '../../core/energy/index.ts';
import { effectiveRadius_m, type Horizon, horizonOfRays, RADIUS_FACTOR } from '../../core/terrain/index.ts';
import { UserError } from '../../core/units/index.ts';
import { type Kit, type Perch, panelsOf } from '../../records/index.ts';
import type {
  LightAnswer,
  LightAsk,
  PanoramaPlace,
  PanoramaView,
  PanoramaWay,
  SeenOther,
  ViewAsk,
} from './panorama-messages.ts';

/** Years of weather behind the light on the panel: a month's mean to 2 %. */
const YEARS = 10;

export interface Panorama {
  /** Takes a place in hand; the ways to others come after it. */
  setPlace(place: PanoramaPlace): void;
  setWays(key: string, ways: readonly PanoramaWay[]): void;
  /** Throws RangeError for a place that is not the one in hand. */
  view(ask: ViewAsk): PanoramaView;
  light(ask: LightAsk): LightAnswer;
}

export function createPanorama(): Panorama {
  let place: PanoramaPlace | undefined;
  let ways: readonly PanoramaWay[] = [];
  let months: readonly SunCourse[] = [];
  let weather: { readonly key: string; readonly site: SiteWeather } | undefined;
  const here = (key: string): PanoramaPlace => {
    if (place?.key !== key) throw new RangeError(`the place in hand is ${place?.key}, not ${key}`);
    return place;
  };
  return {
    setPlace(next) {
      place = next;
      ways = [];
      months = Array.from({ length: 12 }, (_, m) => sunCourse(next.latitude_deg, next.longitude_deg, m + 1, 15));
    },
    setWays(key, next) {
      if (place?.key === key) ways = next;
    },
    view: (ask) => viewOf(here(ask.key), ways, months, ask),
    light({ key, kit, perch, tries }) {
      const now = here(key);
      const first = spotAt(now, perch, undefined);
      const wanted = JSON.stringify([key, perch?.climate, perch?.wind_m_s, perch?.snow, first.plan.place]);
      if (weather?.key !== wanted) weather = { key: wanted, site: makeWeather(first.plan, first.perch, 1, YEARS) };
      const { site } = weather;
      return {
        key,
        darkestMonth: darkestMonth(first.plan),
        light_kWh_m2_day: tries.map(({ height_m, tilt_deg, azimuth_deg }) => {
          const spot = spotAt(now, perch, skylinePairs(seenFrom(now, height_m).elevation_deg));
          const light = lightOnPanel(kit, panelsOf(kit)[0]!, spot.perch, { ...spot.plan, tilt_deg, azimuth_deg }, site);
          return monthlyMeans(site.hours, light).map((w) => (w * 24) / 1000);
        }),
      };
    },
  };
}

const seenFrom = ({ rays }: PanoramaPlace, height_m: number): Horizon =>
  horizonOfRays(rays, {
    eyeHeight_m: height_m,
    effectiveRadius_m: effectiveRadius_m(RADIUS_FACTOR.light),
    layerBounds_km: RIDGES_km,
  });

/** The perch as it would stand at the place, under that skyline. */
function spotAt(place: PanoramaPlace, perch: Perch | null, horizon: Perch['horizon'] | undefined): Spot {
  const { name, latitude_deg, longitude_deg, rays } = place;
  const pairs = Array.isArray(horizon) ? horizon : [];
  if (perch === null) return spotOf(name, latitude_deg, longitude_deg, rays.ground_m, pairs);
  const moved: Perch = {
    ...perch,
    latitude_deg,
    longitude_deg,
    elevation_m: perch.elevation_m ?? Math.round(rays.ground_m),
    ...(horizon === undefined ? {} : { horizon }),
  };
  return { perch: moved, plan: planSite(moved) };
}

function viewOf(
  place: PanoramaPlace,
  ways: readonly PanoramaWay[],
  months: readonly SunCourse[],
  ask: ViewAsk,
): PanoramaView {
  const { latitude_deg, longitude_deg, name, key } = place;
  const { height_m } = ask;
  const seen = seenFrom(place, height_m);
  const skyline_deg = seen.elevation_deg.map((_, i, all) => skylineAt_deg(all, (360 * i) / all.length));
  const dark = darkOf(place, ask.perch);
  const { month, date } = ask.day ?? { month: dark, date: 15 };
  const course = date === 15 ? months[month - 1]! : sunCourse(latitude_deg, longitude_deg, month, date);
  const { open_h, visible_h } = sunHours(course, seen.elevation_deg);
  const assumptions: Assumption[] = [];
  const links = ways.length === 0 ? { others: [], notes: [] } : linksOf(place, ways, ask, assumptions);
  const day = { month, date, open_h, visible_h };
  return {
    key,
    height_m,
    picture: {
      name,
      latitude_deg,
      longitude_deg,
      skyline_deg,
      layers: seen.layers.filter((l) => l.elevation_deg.some((e) => !Number.isNaN(e))),
      darkestMonth: dark,
      months: months.map((m, i) => ({ month: i + 1, ...sunHours(m, seen.elevation_deg) })),
      others: links.others,
      day,
    },
    ridge_km: seen.ridge_km,
    ridge_m: seen.ridge_m,
    others: links.others,
    day,
    notes: [
      ...links.notes,
      ...(seen.unknownShare > 0.002
        ? [
            `${(100 * seen.unknownShare).toPrecision(2)} % of the ground looked at has no height: ridges there are missing.`,
          ]
        : []),
    ],
    assumptions,
  };
}

/** The darkest month of the perch's climate; of the hemisphere where the climate is a file that is not here. */
function darkOf(place: PanoramaPlace, perch: Perch | null): number {
  try {
    return darkestMonth(spotAt(place, perch, undefined).plan);
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    return place.latitude_deg < 0 ? 6 : 12;
  }
}

function linksOf(
  place: PanoramaPlace,
  ways: readonly PanoramaWay[],
  { kit, perch, height_m }: ViewAsk,
  assumptions: Assumption[],
): { readonly others: SeenOther[]; readonly notes: string[] } {
  const { radio, note } = radioOf(kit, assumptions);
  const notes = note === undefined ? [] : [note];
  const station = (name: string, tall_m: number, environment: Perch['environment']): Station => ({
    ...radio,
    name,
    height_m: tall_m,
    environment: noiseSetting(environment ?? USUAL.environment),
    coSitedRise_dB: 0,
  });
  const a = station(place.name, height_m, perch?.environment);
  const others: SeenOther[] = [];
  for (const way of ways) {
    const b = station(way.name, way.height_m ?? USUAL.perchHeight_m, way.environment);
    const scale = linkScale(a, b, 0, USUAL_AIR.effectiveRadius_km);
    const profile = { distance_km: way.distance_km, height_m: way.ground_m };
    const link = linkAlong(profile, way.azimuth_deg, scale);
    if (link === null) {
      notes.push(`${way.name}: the terrain has gaps on the way, so it is left out.`);
      continue;
    }
    const { azimuth_deg, elevation_deg, distance_km, margin_dB, odds } = link;
    const sight = link.sight === 'clear' || link.sight === 'grazing' ? link.sight : 'blocked';
    others.push({ name: way.name, azimuth_deg, elevation_deg, distance_km, sight, margin_dB, odds });
  }
  return { others, notes };
}

/** The kit's radio at both ends; a hand-held where the kit has none. */
function radioOf(kit: Kit | null, assumptions: Assumption[]): { readonly radio: StationRadio; readonly note?: string } {
  if (kit !== null)
    try {
      const note =
        kit.antenna?.sweep === undefined
          ? {}
          : { note: `The sweep ${kit.antenna.sweep} of the kit lies beside its file and is not read here.` };
      return { radio: stationRadioOf(kit, kit.name, 'kit', assumptions), ...note };
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      const said = `${kit.name} has no radio setting: margins are those of two hand-helds at these heights.`;
      return { radio: handHeld(undefined, 'kit', assumptions), note: said };
    }
  return { radio: handHeld(undefined, 'kit', assumptions) };
}
