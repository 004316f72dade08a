/** The answer about a path, in sentences. */
import type { Clearance, PointClearance } from '../core/path/index.ts';
import type { MastRow } from './path-link.ts';
import type { Dominant, PathLoss } from './path-loss.ts';

export type LinkState = 'closes' | 'on the edge' | 'does not close';

/** Below even odds a link is said not to close. */
export function linkState(odds: number, wantedOdds: number): LinkState {
  return odds >= wantedOdds ? 'closes' : odds >= 0.5 ? 'on the edge' : 'does not close';
}

/** Odds in per cent, with `over 99 %` so that likely is not told as certain. */
export function oddsText(odds: number): string {
  if (odds > 0.99) return 'over 99 %';
  if (odds < 0.01) return 'under 1 %';
  return `${Math.round(100 * odds)} %`;
}

const one = (value: number) => (Math.round(value * 10) / 10).toFixed(1);
export const km = (value: number) => (value < 10 ? value.toFixed(2) : value.toFixed(1));

const marginText = (margin_dB: number) =>
  margin_dB >= 0 ? `${one(margin_dB)} dB to spare` : `${one(-margin_dB)} dB lacking`;

const TAKES: Readonly<Record<Dominant, string>> = {
  'free space': 'the way is as good as free: distance alone decides',
  'grazing ground': 'the ray is free, yet the ground reaches into its first Fresnel zone',
  'one edge': 'one edge stands in the way',
  'two edges': 'two edges stand in the way',
  'several edges': 'several edges stand in the way',
  'the curve of the Earth': 'the curve of the Earth stands in the way',
  'woods or houses': 'trees or houses stand in the way; the bare ground would leave it free',
  'other ways through the air': 'the ground blocks it, and what arrives comes by other ways through the air',
  'woods at one end': 'the wood around one end takes most',
  'clutter at one end': 'what stands around one end takes most',
  walls: 'the walls around one end take most',
};

export function verdictOfLink(v: {
  readonly a: string;
  readonly b: string;
  readonly distance_km: number;
  readonly state: LinkState;
  readonly margin_dB: number;
  readonly odds: number;
  readonly dominant: Dominant;
}): string {
  const pair = `The link from ${v.a} to ${v.b}, ${km(v.distance_km)} km,`;
  const state = v.state === 'on the edge' ? 'is on the edge' : v.state;
  return `${pair} ${state}: ${marginText(v.margin_dB)} on its weaker way, odds ${oddsText(v.odds)}; ${TAKES[v.dominant]}.`;
}

export function verdictOfLoss(frequency_MHz: number, distance_km: number, loss: PathLoss, dominant: Dominant): string {
  return `${frequency_MHz} MHz over ${km(distance_km)} km loses ${one(loss.loss_dB)} dB: ${one(loss.freeSpace_dB)} dB in free space, ${one(loss.diffraction_dB)} dB by diffraction; ${TAKES[dominant]}.`;
}

/** Where a point stands and how far it reaches over or under the ray. */
export function obstacleText(p: PointClearance, a: string): string {
  const bare_m = p.above_m - p.clutter_m;
  const itself = p.clutter_m > 0 && bare_m > 0 ? `, the ground itself ${one(bare_m)} m` : '';
  const what = p.clutter_m > 0 ? 'trees or houses' : 'ground';
  const side = p.above_m > 0 ? `${one(p.above_m)} m above the ray` : `${one(-p.above_m)} m below the ray`;
  const free = p.freeShare > 0 ? `${Math.round(100 * p.freeShare)} % of the zone free` : 'the ray is cut';
  return `${what} ${km(p.distance_km)} km from ${a}, ${side}${itself} (${free})`;
}

export function clearanceText(c: Clearance, a: string): string {
  if (c.verdict === 'clear')
    return `Nothing is in the way: at least 60 % of the first Fresnel zone is free; nearest comes the ${obstacleText(c.worst, a)}.`;
  const list = c.obstacles.slice(0, 3).map((p) => obstacleText(p, a));
  const more = c.obstacles.length > 3 ? ` and ${c.obstacles.length - 3} more` : '';
  return `In the way: ${list.join('; ')}${more}.`;
}

/** A mast higher than this is told as none (judgement: what a few people put up without a crane). */
const TALLEST_m = 15;

/** What a higher mast would bring: the cheapest way to clear the path, and whether that helps. */
export function mastText(rows: readonly MastRow[], a: string, b: string): string | undefined {
  const best = rows.reduce<MastRow | undefined>(
    (x, y) => (x === undefined || y.raise_m < x.raise_m || (y.raise_m === x.raise_m && y.end !== 'both') ? y : x),
    undefined,
  );
  if (best === undefined) return undefined;
  const where = best.end === 'a' ? `at ${a}` : best.end === 'b' ? `at ${b}` : 'at both ends';
  const tall = `${best.raise_m.toFixed(1)} m more mast ${where}`;
  const after = `${one(best.gained_dB)} dB gained, then ${marginText(best.margin_dB)}, odds ${oddsText(best.odds)}`;
  if (best.raise_m > TALLEST_m) return `To clear the way takes ${tall} (${after}): look for another place.`;
  if (best.gained_dB < 1) return `${tall} would clear the zone, but that brings next to nothing (${after}).`;
  return `${tall} would clear the way: ${after}${best.closes ? '' : '; that alone does not close it'}.`;
}
