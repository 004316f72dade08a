import { messageEnergy_mJ, timeOnAir } from '../core/airtime/index.ts';
import { cautionOf } from '../core/cells/index.ts';
import type { Assumption, Caution } from '../core/energy/index.ts';
import { LIMITS_CAUTION, type OneWay, type Profile } from '../core/path/index.ts';
import { userError } from '../core/units/index.ts';
import type { Terrain } from '../formats/terrain.ts';
import type { ProfilePicture } from '../report/index.ts';
import { COVER_CAUTION, type CoverOutcome, coverNotes, coverOutcome, readCoverFile } from './cover.ts';
import { type CoverFile, oneCover } from './cover-file.ts';
import { coveredLink } from './cover-path.ts';
import { coverOfProfile } from './cover-profile.ts';
import { beside } from './inputs.ts';
import { limitHint } from './limits.ts';
import { assumer, type LinkKind, linkEnd, MODEL_SPREAD_dB, receiverNoise, type Station } from './link.ts';
import {
  lossSettings,
  MODEL_CAUTION,
  type ObstacleRow,
  obstacleRow,
  type PathRequest,
  pictureOf,
  withOptionNames,
} from './path.ts';
import { type Ends, parsePosition, readEnds } from './path-ends.ts';
import { type GroundPath, groundFromFile, groundFromTerrain } from './path-ground.ts';
import {
  type End,
  type ExtraLoss,
  extraLosses,
  type FactorRow,
  factorRows,
  type LinkCase,
  type MastRow,
  mastRows,
  runLink,
} from './path-link.ts';
import { type Dominant, type PathMethod, radiusOf_km } from './path-loss.ts';
import { type MeasuredBand, measuredBand } from './path-measured.ts';
import { clearanceText, type LinkState, linkState, mastText, verdictOfLink } from './path-words.ts';
import type { Ports } from './ports.ts';

export interface LinkRequest extends PathRequest {
  /** The end at which walls, wood or clutter stand; left out: the hand-held, else B. */
  readonly end?: End | undefined;
  readonly fade_dB?: number | undefined;
  /** Error of the model, in place of 6 dB clear and 10 dB obstructed. */
  readonly spread_dB?: number | undefined;
  /** Odds from which a link is said to close, %. */
  readonly odds_pct?: number | undefined;
  readonly measured?: string | undefined;
  readonly region?: string | undefined;
  readonly payload_bytes?: number | undefined;
  /** GeoJSON file of ground cover, for terrain; one that was read before lies over a profile too. */
  readonly cover?: string | CoverFile | undefined;
  /** Heights from elevation tiles, in place of a profile. */
  readonly terrain?: Terrain | undefined;
}

/** One end in the answer. */
export interface EndOutcome {
  readonly name: string;
  readonly kit: string;
  readonly height_m: number;
  readonly power_dBm: number;
  /** Towards the other end, the pattern counted. */
  readonly gain_dBi: number;
  readonly elevation_deg: number;
  readonly feederLoss_dB: number;
  readonly mismatchLoss_dB: number;
  readonly sensitivity_dBm: number;
  readonly noise_dBm: number;
  /** What sending a message draws from the supply. */
  readonly messageEnergy_mJ: number;
}

export interface WayOutcome extends OneWay {
  /** Signal-to-noise ratio that the receiver would tell, dB. */
  readonly snr_dB: number;
}

/** Result of `sunperch path A B`. `there` is from A to B. */
export interface LinkOutcome {
  readonly command: 'path';
  readonly verdict: string;
  readonly state: LinkState;
  readonly wantedOdds: number;
  readonly method: PathMethod;
  readonly frequency_MHz: number;
  readonly distance_km: number;
  /** From A to B, clockwise from north; null where the positions are not known. */
  readonly azimuth_deg: number | null;
  readonly loss_dB: number;
  readonly freeSpace_dB: number;
  readonly diffraction_dB: number;
  readonly polarizationLoss_dB: number;
  readonly extraLosses: readonly Omit<ExtraLoss, 'dominant'>[];
  readonly dominant: Dominant;
  readonly a: EndOutcome;
  readonly b: EndOutcome;
  readonly there: WayOutcome;
  readonly back: WayOutcome;
  /** Of the weaker way. */
  readonly margin_dB: number;
  readonly odds: number;
  readonly spread_dB: number;
  readonly kind: LinkKind;
  readonly clearance: string;
  readonly inTheWay: readonly ObstacleRow[];
  readonly masts: readonly MastRow[];
  readonly mastAdvice: string | null;
  readonly spreadingFactors: readonly FactorRow[];
  /** Lowest spreading factor that closes; null: none does. */
  readonly closesWith: number | null;
  readonly message: { readonly payload_bytes: number; readonly timeOnAir_ms: number };
  readonly measured: MeasuredBand | null;
  readonly cover: CoverOutcome | null;
  readonly limits: readonly { readonly end: string; readonly within: boolean; readonly text: string }[];
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

const USUAL = { odds_pct: 90, payload_bytes: 40, preamble_symbols: 8, square_m: 100 } as const;
/** P.1812 holds from here on; nearer, free space with diffraction serves (sources: P.1812-8, sec. 1). */
const NEAREST_P1812_km = 0.25;
/** Elevations of perches and terrain may differ by this much: slopes within a cell of the terrain (judgement). */
const FAR_OFF_m = 60;

/**
 * `sunperch path A B`: does the link close, with what margin and odds, what is in the way, and what would mend it.
 *
 * Throws UserError for anything wrong in files, places or options.
 */
export async function pathBetween(
  ports: Ports,
  request: LinkRequest,
): Promise<{ readonly outcome: LinkOutcome; readonly picture: ProfilePicture }> {
  checkShares(request);
  oneCover({ '--cover': request.cover, '--woods': request.woods_m, '--clutter': request.clutter });
  const assumptions: Assumption[] = [];
  const assume = assumer(assumptions);
  const ends = await readEnds(ports, request, assumptions);
  const { a, b, positionA, positionB } = ends;
  const coverFile = await readCoverFile(ports, request.cover);
  const ground = await groundBetween(ports, request, ends, coverFile);
  const { profile } = ground;
  const notes = [...ground.notes, ...heightNotes(ends, profile)];
  const cover = coverFile && ground.cover ? coverOutcome(coverFile, ground.cover.kind) : null;
  if (coverFile && cover) {
    notes.push(...coverNotes(coverFile, cover));
    assumptions.push(...coverFile.assumptions);
  }
  const distance_km = profile.distance_km[profile.distance_km.length - 1]!;
  const latitude_deg =
    request.latitude_deg ??
    (positionA === undefined || positionB === undefined
      ? (positionA ?? positionB)?.latitude_deg
      : (positionA.latitude_deg + positionB.latitude_deg) / 2);
  const method = request.method ?? methodFor(profile, distance_km, a, b, notes);
  const settings = {
    ...lossSettings(request, a.frequency_MHz, method, latitude_deg, assumptions),
    square_m: method === 'p1812' ? squareOf(request, a, b, assumptions) : undefined,
  };
  const wantedOdds =
    assume('--odds', request.odds_pct, USUAL.odds_pct, 'odds from which a link is said to close', '%') / 100;
  const spread_dB =
    request.spread_dB === undefined ? MODEL_SPREAD_dB : { clear: request.spread_dB, obstructed: request.spread_dB };
  const end: End = request.end ?? (a.handHeld && !b.handHeld ? 'a' : 'b');
  const at = extraLosses({ ...request, end }, end === 'a' ? a : b, profile, a.frequency_MHz);
  const link: LinkCase = {
    a,
    b,
    profile,
    settings,
    extras: (elevationA_deg, elevationB_deg) => at(end === 'a' ? elevationA_deg : elevationB_deg),
    fade_dB: request.fade_dB ?? 0,
    spread_dB,
    covered: ground.cover && coveredLink(profile, ground.cover, a.frequency_MHz, radiusOf_km(settings)),
  };
  const prior = withOptionNames(() => runLink(link));
  const measured =
    request.measured === undefined
      ? null
      : await measuredBand(ports, request.measured, request, link, prior, notes, (from, to) =>
          linkElsewhere(ports, request, from, to),
        );
  const measuredLink = measured === null ? link : { ...link, band: measured };
  const now = measured === null ? prior : runLink(measuredLink);
  const { budget, loss, clearance } = now;
  if (request.spread_dB === undefined && measured === null)
    assumptions.push({
      field: '--spread',
      value: `${MODEL_SPREAD_dB[now.kind]} dB`,
      why: `error of the model on ${now.kind} paths, one standard deviation (judgement); measured links narrow it`,
    });
  const payload_bytes = assume('--payload', request.payload_bytes, USUAL.payload_bytes, 'a short text', 'bytes');
  const message = { payload_bytes, preamble_symbols: USUAL.preamble_symbols };
  const { timeOnAir_ms } = withOptionNames(() => timeOnAir({ ...a.setting, ...message }));
  const factors = factorRows(a.setting, budget, wantedOdds, message);
  const masts = mastRows(measuredLink, now, wantedOdds);
  const state = linkState(budget.odds, wantedOdds);
  const told = { a: a.name, b: b.name, distance_km, state, margin_dB: budget.margin_dB, odds: budget.odds };
  const verdict = verdictOfLink({ ...told, dominant: now.dominant });
  const limits = request.region === undefined ? [] : limitsOfEnds(request.region, a, b);
  const endOf = (s: Station, elevation_deg: number): EndOutcome => endOutcome(s, elevation_deg, timeOnAir_ms);
  return {
    outcome: {
      command: 'path',
      verdict,
      state,
      wantedOdds,
      method,
      frequency_MHz: a.frequency_MHz,
      distance_km,
      azimuth_deg: ground.azimuth_deg,
      loss_dB: loss.loss_dB,
      freeSpace_dB: loss.freeSpace_dB,
      diffraction_dB: loss.diffraction_dB,
      polarizationLoss_dB: now.polarizationLoss_dB,
      extraLosses: now.extras.map(({ dominant: _, ...extra }) => extra),
      dominant: now.dominant,
      a: endOf(a, now.elevationA_deg),
      b: endOf(b, now.elevationB_deg),
      there: { ...budget.there, snr_dB: now.snrThere_dB },
      back: { ...budget.back, snr_dB: now.snrBack_dB },
      margin_dB: budget.margin_dB,
      odds: budget.odds,
      spread_dB: budget.spread_dB,
      kind: now.kind,
      clearance: clearanceText(clearance, a.name),
      inTheWay: clearance.obstacles.map(obstacleRow),
      masts,
      mastAdvice: mastText(masts, a.name, b.name) ?? null,
      spreadingFactors: factors,
      closesWith: factors.find((row) => row.closes)?.sf ?? null,
      message: { payload_bytes, timeOnAir_ms },
      measured,
      cover,
      limits,
      notes,
      assumptions,
      cautions: [...(cover === null ? [] : [COVER_CAUTION]), ...cautionsOf(masts.length > 0, limits)],
    },
    picture: pictureOf(
      link.covered === undefined ? profile : { ...profile, clutter_m: link.covered(a.height_m, b.height_m).cover_m },
      { name: a.name, height_m: a.height_m },
      { name: b.name, height_m: b.height_m },
      settings,
      clearance.obstacles,
      `${verdict} ${clearanceText(clearance, a.name)}`,
    ),
  };
}

/** Values that no other check looks at. */
function checkShares(request: LinkRequest): void {
  const { odds_pct, fade_dB, spread_dB } = request;
  const hold = (field: string, value: number | undefined, low: number, high: number, what: string) => {
    if (value === undefined || (value >= low && value <= high)) return;
    throw userError('out-of-range', `${field} is ${value}: ${what} lies between ${low} and ${high}`, { field });
  };
  hold('--odds', odds_pct, 50, 99.9, 'the odds wanted, in %,');
  hold('--fade-margin', fade_dB, 0, 60, 'a fade margin in dB');
  hold('--spread', spread_dB, 0, 40, 'a standard deviation in dB');
}

async function groundBetween(
  ports: Ports,
  request: LinkRequest,
  ends: Ends,
  cover: CoverFile | undefined,
): Promise<GroundPath> {
  const { positionA: from, positionB: to } = ends;
  if (typeof request.cover === 'string' && request.profile !== undefined)
    throw userError(
      'path.cover',
      '--cover lies on the map, and a profile from a file does not: give --terrain in its place, or clutter_m in the profile',
      { field: '--cover' },
    );
  if (request.profile !== undefined) {
    const ground = await groundFromFile(ports, request.profile, from, to);
    return cover === undefined || from === undefined || to === undefined
      ? ground
      : { ...ground, cover: coverOfProfile(cover, from, to, ground.profile.distance_km) };
  }
  if (request.terrain === undefined)
    throw userError(
      'path.ground',
      'the ground between the two ends is not given: --terrain DIR with elevation tiles, or --profile FILE.csv',
      { field: '--terrain' },
    );
  if (from === undefined || to === undefined)
    throw userError(
      'path.place',
      'with --terrain both ends need a position: name two perch files, or LAT,LON[,HEIGHT]',
      { field: '--terrain' },
    );
  return groundFromTerrain(request.terrain, from, to, [ends.a.name, ends.b.name], cover);
}

/** Another link of the file with measurements, over the same terrain: perches with the kit at hand, positions as hand-helds. */
async function linkElsewhere(
  ports: Ports,
  request: LinkRequest,
  from: string,
  to: string,
): Promise<{ readonly snr_dB: number; readonly kind: LinkKind } | undefined> {
  const isPerch = (name: string) => /\.(ya?ml|json)$/i.test(name);
  const known = (name: string) => isPerch(name) || parsePosition(name) !== undefined;
  if (request.terrain === undefined || !known(from) || !known(to)) return undefined;
  const place = (name: string) => (isPerch(name) ? beside(request.measured!, name) : name);
  const kit = (name: string) => (isPerch(name) ? (request.kitA ?? request.kitB) : undefined);
  const { measured: _, coSitedA: __, coSitedB: ___, fromHeight_m: _h, toHeight_m: _g, ...rest } = request;
  const { outcome } = await pathBetween(ports, {
    ...rest,
    profile: undefined,
    indoors: undefined,
    woods_m: undefined,
    clutter: undefined,
    a: place(from),
    b: place(to),
    kitA: kit(from),
    kitB: kit(to),
  });
  return { snr_dB: outcome.there.snr_dB, kind: outcome.kind };
}

/** A perch whose own elevation is far from that of the ground under it stands elsewhere, or its elevation is wrong. */
function heightNotes(ends: Ends, profile: Profile): string[] {
  const last = profile.height_m.length - 1;
  return [
    [ends.a.name, ends.elevationA_m, profile.height_m[0]!] as const,
    [ends.b.name, ends.elevationB_m, profile.height_m[last]!] as const,
  ].flatMap(([name, told_m, ground_m]) =>
    told_m === undefined || Math.abs(told_m - ground_m) <= FAR_OFF_m
      ? []
      : [
          `${name} has elevation_m ${told_m}, but the ground under it lies at ${Math.round(ground_m)} m: is its position right? The ground counts.`,
        ],
  );
}

/** P.1812 where it holds; else free space with delta-Bullington, with a note. */
function methodFor(profile: Profile, distance_km: number, a: Station, b: Station, notes: string[]): PathMethod {
  const why =
    distance_km < NEAREST_P1812_km
      ? `the path is ${Math.round(distance_km * 1000)} m long`
      : profile.distance_km.length < 5
        ? `the profile has ${profile.distance_km.length} points`
        : a.height_m < 1 || b.height_m < 1
          ? 'an antenna stands less than 1 m above the ground'
          : undefined;
  if (why === undefined) return 'p1812';
  notes.push(`Free space with delta-Bullington diffraction is used: ${why}, and ITU-R P.1812 does not hold there.`);
  return 'delta-bullington';
}

/** A hand-held is carried about: its place varies over a square. */
function squareOf(request: LinkRequest, a: Station, b: Station, assumptions: Assumption[]): number | undefined {
  if (request.square_m !== undefined || !(a.handHeld || b.handHeld)) return request.square_m;
  assumptions.push({ field: '--square', value: `${USUAL.square_m} m`, why: 'a hand-held is carried about' });
  return USUAL.square_m;
}

function endOutcome(s: Station, elevation_deg: number, timeOnAir_ms: number): EndOutcome {
  const end = linkEnd(s, elevation_deg);
  return {
    name: s.name,
    kit: s.kit,
    height_m: s.height_m,
    power_dBm: s.power_dBm,
    gain_dBi: end.gain_dBi,
    elevation_deg,
    feederLoss_dB: s.feederLoss_dB,
    mismatchLoss_dB: s.mismatchLoss_dB,
    sensitivity_dBm: end.sensitivity_dBm,
    noise_dBm: receiverNoise(s).floor_dBm,
    messageEnergy_mJ: messageEnergy_mJ({
      timeOnAir_ms,
      supply_V: s.transmit.supply_V,
      transmit_mA: s.transmit.current_mA,
      idle_mA: 0,
    }).total_mJ,
  };
}

function limitsOfEnds(region: string, a: Station, b: Station): LinkOutcome['limits'] {
  return [a, b].map((s) => ({
    end: s.name,
    ...limitHint(region, {
      frequency_MHz: s.frequency_MHz,
      bandwidth_kHz: s.setting.bandwidth_kHz,
      conducted_dBm: s.power_dBm,
      gain_dBi: s.gain_dBi,
      feederLoss_dB: s.feederLoss_dB,
      ...(s.transmit.airtime_s_per_h === undefined ? {} : { duty_pct: s.transmit.airtime_s_per_h / 36 }),
    }),
  }));
}

function cautionsOf(mast: boolean, limits: LinkOutcome['limits']): Caution[] {
  const list: Caution[] = [MODEL_CAUTION];
  const add = (code: Parameters<typeof cautionOf>[0]) => {
    const { code: name, text } = cautionOf(code);
    list.push({ code: name, text });
  };
  if (mast) {
    add('work-at-height');
    add('lightning-and-earthing');
    add('overhead-lines');
  }
  add('radio-limits');
  if (limits.length > 0) list.push({ code: 'limits-dated', text: LIMITS_CAUTION });
  return list;
}
