/** A link between two stations over a profile: budget both ways, and what would change it. */
import { type RadioSetting, snrLimit_dB, timeOnAir } from '../core/airtime/index.ts';
import {
  buildingEntryLoss_dB,
  CLUTTER_HEIGHT_m,
  type Clearance,
  type ClutterKind,
  type ErrorBand,
  findMastAdvice,
  type LinkBudget,
  linkBudget,
  oddsOf,
  type Profile,
  reverseProfile,
  terminalClutterLoss_dB,
  townClutterLoss_dB,
  woodlandLoss_dB,
} from '../core/path/index.ts';
import { UserError, userError } from '../core/units/index.ts';
import { crossLoss_dB, type LinkKind, linkEnd, linkKind, receiverNoise, type Station } from './link.ts';
import {
  clearanceOf,
  type Dominant,
  dominantOf,
  type LossSettings,
  lossOf,
  type PathLoss,
  radiusOf_km,
  rayElevation_deg,
} from './path-loss.ts';

export type End = 'a' | 'b';

/** A loss at one end: walls, a wood, a street. */
export interface ExtraLoss {
  readonly what: string;
  readonly dominant: Dominant;
  readonly end: End;
  readonly loss_dB: number;
  readonly spread_dB: number;
}

/** All that a link is computed from. */
export interface LinkCase {
  readonly a: Station;
  readonly b: Station;
  readonly profile: Profile;
  readonly settings: LossSettings;
  readonly extras: (elevationA_deg: number, elevationB_deg: number) => readonly ExtraLoss[];
  readonly fade_dB: number;
  /** Error of the model by the kind of link, and what measured links have made of it. */
  readonly spread_dB: Readonly<Record<LinkKind, number>>;
  readonly band?: ErrorBand | undefined;
  /** The same for each kind of link. */
  readonly bands?: Readonly<Record<LinkKind, ErrorBand>> | undefined;
  /** Ground cover, with the antennas at some heights: takes the place of the profile and adds losses at the ends. */
  readonly covered?: ((heightA_m: number, heightB_m: number) => CoveredLink) | undefined;
}

export interface CoveredLink {
  readonly profile: Profile;
  readonly extras: readonly ExtraLoss[];
  /** The cover as it stands, also around the ends. */
  readonly cover_m: Float64Array;
}

export interface LinkResult {
  readonly loss: PathLoss;
  readonly clearance: Clearance;
  readonly kind: LinkKind;
  readonly elevationA_deg: number;
  readonly elevationB_deg: number;
  readonly extras: readonly ExtraLoss[];
  readonly polarizationLoss_dB: number;
  readonly budget: LinkBudget;
  readonly dominant: Dominant;
  /** Signal-to-noise ratios that the receivers would tell. */
  readonly snrThere_dB: number;
  readonly snrBack_dB: number;
}

/** Runs a link, with the masts raised if told. */
export function runLink(c: LinkCase, raiseA_m = 0, raiseB_m = 0): LinkResult {
  const { settings } = c;
  const heightA_m = c.a.height_m + raiseA_m;
  const heightB_m = c.b.height_m + raiseB_m;
  const covered = c.covered?.(heightA_m, heightB_m);
  const profile = covered?.profile ?? c.profile;
  const areaAtFirst = c.a.handHeld && !c.b.handHeld;
  const loss = lossOf(profile, heightA_m, heightB_m, settings, areaAtFirst);
  const clearance = clearanceOf(profile, heightA_m, heightB_m, settings);
  const radius_km = radiusOf_km(settings);
  const elevationA_deg = rayElevation_deg(profile, heightA_m, heightB_m, radius_km);
  const elevationB_deg = rayElevation_deg(reverseProfile(profile), heightB_m, heightA_m, radius_km);
  const extras = [...(covered?.extras ?? []), ...c.extras(elevationA_deg, elevationB_deg)];
  const kind = linkKind(clearance.verdict);
  const band = c.band ?? c.bands?.[kind];
  const polarizationLoss_dB = crossLoss_dB(c.a.polarization, c.b.polarization);
  const budget = linkBudget(linkEnd(c.a, elevationA_deg), linkEnd(c.b, elevationB_deg), {
    pathLoss_dB: loss.loss_dB,
    polarizationLoss_dB,
    extraLoss_dB: extras.reduce((sum, e) => sum + e.loss_dB, band?.excess_dB ?? 0),
    fadeMargin_dB: c.fade_dB,
    modelSpread_dB: band?.spread_dB ?? c.spread_dB[kind],
    otherSpreads_dB: [loss.locationSpread_dB, ...extras.map((e) => e.spread_dB)],
  });
  return {
    loss,
    clearance,
    kind,
    elevationA_deg,
    elevationB_deg,
    extras,
    polarizationLoss_dB,
    budget,
    dominant: dominantOf(loss, clearance, extras),
    snrThere_dB: budget.there.received_dBm - receiverNoise(c.b).floor_dBm,
    snrBack_dB: budget.back.received_dBm - receiverNoise(c.a).floor_dBm,
  };
}

/** Another spreading factor on the same link. */
export interface FactorRow {
  readonly sf: number;
  readonly margin_dB: number;
  readonly odds: number;
  readonly timeOnAir_ms: number;
  readonly closes: boolean;
}

/** Margin, odds and time on air of each spreading factor from 7 (from the present one where that is lower). */
export function factorRows(
  setting: RadioSetting,
  budget: LinkBudget,
  wantedOdds: number,
  message: { readonly payload_bytes: number; readonly preamble_symbols: number },
): FactorRow[] {
  const rows: FactorRow[] = [];
  for (let sf = Math.min(7, setting.sf); sf <= 12; sf++) {
    const margin_dB = budget.margin_dB + snrLimit_dB(setting.sf) - snrLimit_dB(sf);
    const odds = oddsOf(margin_dB, budget.spread_dB);
    const { timeOnAir_ms } = timeOnAir({ ...setting, sf, ...message });
    rows.push({ sf, margin_dB, odds, timeOnAir_ms, closes: odds >= wantedOdds });
  }
  return rows;
}

/** What a higher mast would bring. */
export interface MastRow {
  readonly end: End | 'both';
  /** By how much each of them would have to grow. */
  readonly raise_m: number;
  readonly gained_dB: number;
  readonly margin_dB: number;
  readonly odds: number;
  readonly closes: boolean;
}

/** Masts that clear the path, for the ends that have one; empty where the path is clear already. */
export function mastRows(c: LinkCase, now: LinkResult, wantedOdds: number): MastRow[] {
  const covered = c.covered?.(c.a.height_m, c.b.height_m);
  const around = covered?.extras.some((e) => !(e.end === 'a' ? c.a : c.b).handHeld) === true;
  if (now.clearance.verdict === 'clear' && !around) return [];
  // A mast is to rise out of the trees around it too.
  const advice = findMastAdvice({
    ...c.profile,
    ...(covered === undefined ? {} : { clutter_m: covered.cover_m }),
    frequency_MHz: c.settings.frequency_MHz,
    fromHeight_m: c.a.height_m,
    toHeight_m: c.b.height_m,
    effectiveRadius_km: radiusOf_km(c.settings),
  });
  const tries: [MastRow['end'], number, number, number][] = [];
  if (!c.a.handHeld) tries.push(['a', advice.raiseFrom_m, advice.raiseFrom_m, 0]);
  if (!c.b.handHeld) tries.push(['b', advice.raiseTo_m, 0, advice.raiseTo_m]);
  if (tries.length === 2) tries.push(['both', advice.raiseBoth_m, advice.raiseBoth_m, advice.raiseBoth_m]);
  return tries.flatMap(([end, raise_m, raiseA_m, raiseB_m]) => {
    if (!(raise_m > 0) || c.a.height_m + raiseA_m > 3000 || c.b.height_m + raiseB_m > 3000) return [];
    const { budget } = runLink(c, raiseA_m, raiseB_m);
    return [
      {
        end,
        raise_m,
        gained_dB: budget.margin_dB - now.budget.margin_dB,
        margin_dB: budget.margin_dB,
        odds: budget.odds,
        closes: budget.odds >= wantedOdds,
      },
    ];
  });
}

export const CLUTTER_KINDS = ['town', ...(Object.keys(CLUTTER_HEIGHT_m) as ClutterKind[])] as const;

export interface ExtraRequest {
  readonly indoors?: 'traditional' | 'efficient' | undefined;
  readonly woods_m?: number | undefined;
  /** `town`, or a kind of P.2108 with its usual height; `dense-urban` is taken for `dense urban`. */
  readonly clutter?: string | undefined;
  readonly end: End;
}

/**
 * The losses at one end that the request names: walls (P.2109) and one of wood (P.833) or clutter (P.2108), never two.
 *
 * @throws UserError for two of them, for one beside clutter in the profile, and for an unknown kind
 */
export function extraLosses(
  request: ExtraRequest,
  station: Station,
  profile: Profile,
  frequency_MHz: number,
): (elevation_deg: number) => ExtraLoss[] {
  const { indoors, woods_m, end } = request;
  if (woods_m !== undefined && request.clutter !== undefined)
    throw userError(
      'path.clutterTwice',
      '--woods and --clutter are both given: each stands for all that grows or is built around that end, so keep one',
      { field: '--clutter' },
    );
  const around = woods_m !== undefined ? '--woods' : request.clutter !== undefined ? '--clutter' : undefined;
  if (around !== undefined && profile.clutter_m?.some((h) => h > 0))
    throw userError(
      'path.clutterTwice',
      `${around} is given, but the profile has clutter of its own: one of the two, or the trees count twice`,
      { field: around },
    );
  const list: ((elevation_deg: number) => ExtraLoss)[] = [];
  if (indoors !== undefined)
    list.push((elevation_deg) => {
      const at = (share_pct: number) => buildingEntryLoss_dB(frequency_MHz, share_pct, indoors, elevation_deg);
      return {
        what: `walls of ${indoors === 'efficient' ? 'a thermally efficient' : 'a traditional'} building`,
        dominant: 'walls',
        end,
        loss_dB: at(50),
        spread_dB: (at(ONE_ABOVE_pct) - at(100 - ONE_ABOVE_pct)) / 2,
      };
    });
  if (woods_m !== undefined) {
    const loss_dB = told('--woods', () => woodlandLoss_dB(frequency_MHz, woods_m));
    // Other woods differ from the measured one by a factor of two either way, taken as two standard deviations (judgement).
    const wood = {
      what: `${woods_m} m of wood`,
      dominant: 'woods at one end',
      end,
      loss_dB,
      spread_dB: loss_dB / 3,
    } as const;
    list.push(() => wood);
  }
  if (request.clutter !== undefined) {
    const clutter = clutterLoss(request.clutter, station, profile, frequency_MHz, end);
    list.push(() => clutter);
  }
  return (elevation_deg) => list.map((one) => one(elevation_deg));
}

/** Share of cases up to one standard deviation above the median, %. */
const ONE_ABOVE_pct = 84.134;

function clutterLoss(text: string, station: Station, profile: Profile, frequency_MHz: number, end: End): ExtraLoss {
  const kind = CLUTTER_KINDS.find((k) => k === text.replaceAll('-', ' '));
  if (kind === undefined)
    throw userError(
      'path.clutterKind',
      `--clutter is "${text.slice(0, 30)}": wanted is one of ${CLUTTER_KINDS.map((k) => k.replace(' ', '-')).join(', ')}`,
      { field: '--clutter' },
    );
  if (kind === 'town') {
    const d = profile.distance_km[profile.distance_km.length - 1]!;
    const at = (pct: number) => townClutterLoss_dB(frequency_MHz, d, pct);
    return told('--clutter', () => ({
      what: 'houses of a town or suburb not known in detail',
      dominant: 'clutter at one end',
      end,
      loss_dB: at(50),
      spread_dB: (at(ONE_ABOVE_pct) - at(100 - ONE_ABOVE_pct)) / 2,
    }));
  }
  const loss_dB = told('--clutter', () => terminalClutterLoss_dB({ frequency_MHz, height_m: station.height_m, kind }));
  return {
    what: `${kind} around the antenna, ${CLUTTER_HEIGHT_m[kind]} m high`,
    dominant: kind === 'woods' ? 'woods at one end' : 'clutter at one end',
    end,
    loss_dB,
    spread_dB: 0,
  };
}

/** Names the option of the command line where the core names its argument. */
function told<T>(field: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    throw new UserError(error.problems.map((p) => ({ ...p, place: { field } })));
  }
}
