/** The answers of the Reach page in sentences, in the reader's way of writing numbers and lengths. */
import type { RankOutcome } from '../../../app/rank.ts';
import type { ReachOutcome } from '../../../app/reach.ts';
import { monthName } from '../../../report/index.ts';
import type { Format } from '../../display/numbers.ts';
import { type Display, unitOf } from '../../display/units.ts';

export interface Reader {
  readonly format: Format;
  readonly display: Display;
}

/** Between a number and its unit: no line breaks there. */
const TIED = '\u00a0';

/** A length with its unit; three significant digits unless told otherwise. */
export function lengthText({ format, display }: Reader, field: string, value: number, digits = 3): string {
  const unit = unitOf(field, display);
  return `${format.figure(unit.toShown(value), digits)}${TIED}${unit.symbol}`;
}

/** A distance: metres or feet where it is short. */
export function distanceText(reader: Reader, distance_km: number): string {
  return distance_km < 1
    ? lengthText(reader, 'distance_m', 1000 * distance_km)
    : lengthText(reader, 'distance_km', distance_km);
}

/** Odds in per cent; likely is not told as certain. */
export function oddsText({ format }: Reader, odds: number): string {
  return odds > 0.99
    ? `over ${format.percent(0.99)}`
    : odds < 0.01
      ? `under ${format.percent(0.01)}`
      : format.percent(odds);
}

const NAMES_AT_MOST = 3;

/** Whom a perch reaches: the opening sentence. */
export function reachSentence(reader: Reader, o: ReachOutcome, indoors: boolean): string {
  const { format } = reader;
  // Two digits are all that a share of modelled ground bears.
  const share = (v: number) => `${format.figure(100 * v, 2)}${TIED}%`;
  const handHeld = o.to === 'hand-held';
  const height = lengthText(reader, 'height_m', o.targetHeight_m);
  const who = `${handHeld ? 'a hand-held' : o.to}${indoors ? ' in a house' : ''} at ${height}`;
  const radius = lengthText(reader, 'radius_km', o.radius_km);
  const missed = o.places.filter((p) => !p.reached).map((p) => p.name);
  const named =
    o.places.length === 0
      ? ''
      : missed.length === 0
        ? ` All ${o.places.length} named places are reached.`
        : ` ${o.placesReached} of the ${o.places.length} named places ${o.placesReached === 1 ? 'is' : 'are'} reached; not ${listed(missed)}.`;
  if (o.share.reached === 0) return `${o.perch} reaches no ground within ${radius} for ${who}.${named}`;
  return `${o.perch} reaches ${share(o.share.reached)} of the ground within ${radius} for ${who}: ${share(o.share.inSight)} in sight, ${share(o.share.overEdges)} over edges.${named}`;
}

function listed(names: readonly string[]): string {
  if (names.length <= NAMES_AT_MOST) return names.join(', ');
  return `${names.slice(0, NAMES_AT_MOST).join(', ')} and ${names.length - NAMES_AT_MOST} more`;
}

/** The sun of the darkest month over the skyline, and what a move has changed. */
export function sunSentence(
  { format }: Reader,
  now: { readonly month: number; readonly open_h: number; readonly visible_h: number },
  before: { readonly visible_h: number; readonly month: number } | null,
): string {
  const month = monthName(now.month);
  const h = (v: number) => `${format.fixed(v, 1)} h`;
  const sun =
    now.open_h === 0
      ? `In ${month} the sun does not rise here`
      : now.open_h - now.visible_h < 0.1
        ? `In the middle of ${month} the skyline takes no sun: ${h(now.open_h)}`
        : `In the middle of ${month} the skyline leaves ${h(now.visible_h)} of ${h(now.open_h)} of sun`;
  if (before === null || before.month !== now.month) return `${sun}.`;
  const change = now.visible_h - before.visible_h;
  return Math.abs(change) < 0.05
    ? `${sun}: the same as at the saved place.`
    : `${sun}: ${h(Math.abs(change))} ${change > 0 ? 'more' : 'less'} than at the saved place.`;
}

/** Which of the candidates are beaten by none, in a sentence. */
export function rankSentence({ format }: Reader, o: RankOutcome): string {
  const [one] = o.candidates;
  if (one === undefined) return 'There is nobody to rank.';
  const largest = (of: (c: typeof one) => number) => o.candidates.reduce((a, b) => (of(b) > of(a) ? b : a));
  const most = largest((c) => c.reachedShare);
  const sun = largest((c) => c.winter.light_kWh_m2);
  const front =
    o.candidates.length === 1
      ? ''
      : o.front.length === 1
        ? `${o.front[0]} is at least as good as the others in everything. `
        : `${o.front.length} of ${o.candidates.length} candidates are beaten by none: ${o.front.join(', ')}. `;
  return `${front}${most.name} reaches most, ${format.figure(100 * most.reachedShare, 2)} % of the area; ${sun.name} has most light in ${monthName(sun.winter.month)}, ${format.figure(sun.winter.light_kWh_m2, 2)} kWh/m² on its panel.`;
}

/** The margin with its sign, whole decibels where it comes from the map. */
export const marginText = ({ format }: Reader, margin_dB: number, decimals = 0): string =>
  `${format.fixed(margin_dB, decimals)} dB`;

/** `210°, south-west`: eight winds. */
export function bearingText({ format }: Reader, azimuth_deg: number): string {
  const WINDS = ['north', 'north-east', 'east', 'south-east', 'south', 'south-west', 'west', 'north-west'];
  const turned = ((azimuth_deg % 360) + 360) % 360;
  return `${format.fixed(turned, 0)}° (${WINDS[Math.round(turned / 45) % 8]})`;
}
