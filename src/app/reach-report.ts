/** What the report page of a perch tells beside the coverage: panorama, side views, role, limits, cautions. */
import type { Assumption } from '../core/energy/index.ts';
import { wavelength_m } from '../core/path/index.ts';
import { profileBetween } from '../core/reach/index.ts';
import type { Terrain } from '../formats/terrain.ts';
import type { PagePlace, ProfilePicture, ReachPageInput, ShareRow } from '../report/index.ts';
import { spanOf } from '../report/reach-image.ts';
import { coveredLink } from './cover-path.ts';
import { aroundTexts } from './cover-words.ts';
import { horizon } from './horizon.ts';
import { waveOf } from './margin.ts';
import { MODEL_CAUTION, pictureOf } from './path.ts';
import { clearanceOf, type LossSettings, USUAL_AIR } from './path-loss.ts';
import { clearanceText, linkState, verdictOfLink } from './path-words.ts';
import type { Ports } from './ports.ts';
import type { Reach, ReachedPlace, ReachRequest } from './reach.ts';
import { byNeed, markOf } from './reach-marks.ts';
import { withWorkCautions } from './reach-role.ts';

export type ReachReportRequest = Pick<ReachRequest, 'perch' | 'kit' | 'set' | 'height_m'>;

/** All of the page but the picture of the map and the fonts, which need bytes. */
export type ReachReport = Omit<ReachPageInput, 'map' | 'fonts'> & {
  readonly map: Omit<ReachPageInput['map'], 'png_base64'>;
};

const PROFILES = 6;
/** Points of a side view: more than its pixels are not seen. */
const MOST_POINTS = 500;
const WANTED_ODDS = 0.9;

/** Gathers the report page of a reach that was computed. */
export async function reachReport(
  ports: Ports,
  request: ReachReportRequest,
  result: Reach,
  terrain: Terrain,
): Promise<ReachReport> {
  const { outcome, field, role } = result;
  const { perch, kit, set, height_m } = request;
  const seen = await horizon(ports, { perch, kit, set, height_m, radius_km: outcome.radius_km }, terrain);
  const places = byNeed(outcome.places);
  const span_km = spanOf(field);
  return {
    perch: outcome.perch,
    kit: outcome.kit,
    to: outcome.to,
    latitude_deg: outcome.latitude_deg,
    longitude_deg: outcome.longitude_deg,
    ground_m: outcome.ground_m,
    height_m: outcome.height_m,
    targetHeight_m: outcome.targetHeight_m,
    setting: outcome.setting,
    frequency_MHz: outcome.frequency_MHz,
    mostLoss_dB: outcome.mostLoss_dB,
    farthest_km: outcome.farthest_km,
    verdict: outcome.verdict,
    map: { span_km, radius_km: outcome.radius_km },
    shares: sharesOf(outcome.share),
    places: places.map((p): PagePlace => {
      const { distance_km, azimuth_deg, margin_dB, odds, sight, dominant } = p;
      return { ...markOf(result, p), distance_km, azimuth_deg, margin_dB, odds, sight, dominant };
    }),
    profiles: places.slice(0, PROFILES).map((p) => profileOf(result, p)),
    panorama: { ...seen.panorama, others: role?.others ?? [] },
    role: role?.advice ?? null,
    limits: outcome.limits,
    notes: [
      ...aroundTexts(outcome),
      ...outcome.skipped.map((s) => `${s.name}: ${s.reason}.`),
      ...new Set([...outcome.notes, ...seen.outcome.notes]),
    ],
    assumptions: [
      ...outcome.assumptions.map(inWords),
      ...seen.outcome.assumptions.filter((a) => a.field === 'refraction'),
    ],
    cautions: withWorkCautions([...outcome.cautions, MODEL_CAUTION, ...seen.outcome.cautions], outcome.limits !== null),
    generatedFrom: [],
  };
}

/** The ends by name: `a` and `b` are words of the command that takes two. */
const inWords = (a: Assumption): Assumption => ({
  ...a,
  field: a.field
    .replace(/^a: /, 'perch: ')
    .replace(/^b: --kit-b$/, 'other end: --to')
    .replace(/^b: /, 'other end: '),
});

function sharesOf(s: Reach['outcome']['share']): ShareRow[] {
  return [
    { what: 'reached', share: s.reached },
    { what: 'in line of sight', share: s.inSight, part: true },
    { what: 'over edges', share: s.overEdges, part: true },
    { what: 'with 10 dB to spare', share: s.margin10 },
    { what: 'with 20 dB to spare', share: s.margin20 },
    { what: 'reached with odds of 90 % or better', share: s.sure },
    { what: 'in line of sight, reached or not', share: s.sight },
  ];
}

const lossText = ({ loss_dB, diffraction_dB }: ReachedPlace) =>
  `The path loses ${loss_dB.toFixed(1)} dB by delta-Bullington, ${diffraction_dB.toFixed(1)} dB of it by diffraction.`;

/** Side view over the very profile from which the place was judged. */
function profileOf({ ground, centre, scale }: Reach, p: ReachedPlace): ProfilePicture {
  const { from: a, effectiveRadius_km } = scale;
  const profile = profileBetween(ground.ground, centre, ground.placeOf(p.latitude_deg, p.longitude_deg));
  const settings: LossSettings = {
    ...USUAL_AIR,
    method: 'delta-bullington',
    frequency_MHz: a.frequency_MHz,
    time_pct: 50,
    locations_pct: 50,
    latitude_deg: p.latitude_deg,
    polarization: waveOf(a),
    square_m: undefined,
    effectiveRadius_km,
  };
  const { kind, woods } = profile;
  const kinds = ground.ground.cover?.kinds;
  const covered =
    kind && woods && kinds
      ? coveredLink(profile, { kind, woods, kinds }, a.frequency_MHz, effectiveRadius_km)(a.height_m, p.height_m)
      : undefined;
  const clearance = clearanceOf(covered?.profile ?? profile, a.height_m, p.height_m, settings);
  const { distance_km, margin_dB, odds, dominant } = p;
  const told = { a: a.name, b: p.name, distance_km, state: linkState(odds, WANTED_ODDS), margin_dB, odds, dominant };
  return {
    ...pictureOf(
      profile,
      { name: a.name, height_m: a.height_m },
      { name: p.name, height_m: p.height_m },
      settings,
      clearance.obstacles,
      `${verdictOfLink(told)} ${lossText(p)} ${clearanceText(clearance, a.name)}`,
    ),
    wavelength_m: wavelength_m(a.frequency_MHz),
    ...thinned(profile),
  };
}

/** Fewer points for the picture: of each stretch the one whose top is highest and the one whose ground is lowest. */
export function thinned(
  profile: {
    readonly distance_km: Float64Array;
    readonly height_m: Float64Array;
    readonly clutter_m: Float64Array;
  },
  most = MOST_POINTS,
): Pick<ProfilePicture, 'distance_km' | 'height_m' | 'clutter_m'> {
  const { distance_km, height_m, clutter_m } = profile;
  const n = distance_km.length;
  const keep: number[] = [];
  const stretches = Math.floor(most / 2) - 1;
  if (n <= most) keep.push(...height_m.keys());
  else {
    keep.push(0);
    for (let s = 0; s < stretches; s++) {
      const first = 1 + Math.floor((s * (n - 2)) / stretches);
      const end = 1 + Math.floor(((s + 1) * (n - 2)) / stretches);
      let high = first;
      let low = first;
      for (let i = first; i < end; i++) {
        if (height_m[i]! + clutter_m[i]! > height_m[high]! + clutter_m[high]!) high = i;
        if (height_m[i]! < height_m[low]!) low = i;
      }
      keep.push(...(high === low ? [high] : [Math.min(high, low), Math.max(high, low)]));
    }
    keep.push(n - 1);
  }
  const pick = (values: Float64Array) => Float64Array.from(keep, (i) => values[i]!);
  return {
    distance_km: pick(distance_km),
    height_m: pick(height_m),
    clutter_m: clutter_m.some((h) => h > 0) ? pick(clutter_m) : undefined,
  };
}
