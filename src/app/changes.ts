import type { ChangeSummary } from '../core/energy/index.ts';
import { buildNode, type NodeSpec } from '../core/energy/node.ts';
import type { SeasonRun } from '../core/energy/seasons.ts';
import type { Kit, Perch } from '../records/index.ts';
import { darkOfSample, forecast, type SeasonSample } from './forecast.ts';
import { nodeOf } from './node-of.ts';
import { kitPower_W, panelPower_W } from './panels.ts';
import type { SitePlan, SiteWeather } from './site.ts';
import { makeSupply, type Supply, scaledHours } from './supply.ts';
import { shareOf, type Target } from './target.ts';

/** A change that a maker can make, in rising order of effort. */
interface Candidate {
  readonly change: string;
  readonly set: readonly string[];
  readonly kit: Kit;
  readonly plan: SitePlan;
  /** Panel size relative to the kit at hand, when only that changes. */
  readonly scale: number;
  /** Does the light on the panel or the charger change, so that the supply must be made anew? */
  readonly newSupply: boolean;
}

const PANEL_STEPS = [1.25, 1.5, 2, 3];

function candidates(kit: Kit, plan: SitePlan): Candidate[] {
  const list: Candidate[] = [];
  const add = (change: string, set: string[], parts: Partial<Candidate>) =>
    list.push({ change, set, kit, plan, scale: 1, newSupply: false, ...parts });
  const panels = Array.isArray(kit.panel) ? kit.panel : [kit.panel];
  if (panels.every((p) => p.tilt_deg === undefined))
    for (const tilt_deg of [60, 75, 90])
      if (Math.abs(tilt_deg - plan.tilt_deg) >= 10)
        add(`tilt the panel to ${tilt_deg}°`, [`perch.tilt_deg=${tilt_deg}`], {
          plan: { ...plan, tilt_deg },
          newSupply: true,
        });
  const { charger, cells } = kit;
  if (charger.ceiling_soc !== undefined && charger.ceiling_soc < 1)
    add('charge to 100 %', ['kit.charger.ceiling_soc=1'], {
      kit: { ...kit, charger: { ...charger, ceiling_soc: 1 } },
    });
  const { ceiling_V, ...noCeiling } = charger;
  if (ceiling_V !== undefined && ceiling_V < 4.15 && cells.chemistry !== 'table')
    add('charge to 4.2 V', ['kit.charger.ceiling_V=4.2'], {
      kit: { ...kit, charger: { ...noCeiling, ceiling_V: 4.2 } as Kit['charger'] },
    });
  const withCells = (count: number) => ({ ...kit, cells: { ...cells, count } });
  const cellsText = (n: number) => (n === 1 ? 'one more cell' : `${n} more cells`);
  for (const n of new Set([1, 2, cells.count, 2 * cells.count]))
    add(cellsText(n), [`kit.cells.count=${cells.count + n}`], { kit: withCells(cells.count + n) });
  const power_W = kitPower_W(kit);
  const watts = (factor: number) => Number((power_W * factor).toPrecision(2));
  const panelSet = (factor: number) =>
    panels.length === 1
      ? [`kit.panel.power_W=${watts(factor)}`]
      : panels.map((p, i) => `kit.panel[${i}].power_W=${Number((panelPower_W(p) * factor).toPrecision(2))}`);
  for (const factor of PANEL_STEPS)
    add(`${watts(factor)} W of panel`, panelSet(factor), { scale: watts(factor) / power_W });
  if (charger.type === 'linear' || charger.type === 'fixed-input')
    add('a charger that tracks maximum power', ['kit.charger.type=tracking'], {
      kit: { ...kit, charger: { ...charger, type: 'tracking', efficiency: 0.9, trackingEfficiency: 0.97 } },
      newSupply: true,
    });
  for (const [factor, extra] of [
    [1.5, 1],
    [2, cells.count],
    [3, cells.count * 2],
    [5, cells.count * 3],
  ] as const)
    add(
      `${watts(factor)} W of panel and ${cellsText(extra)}`,
      [...panelSet(factor), `kit.cells.count=${cells.count + extra}`],
      { kit: withCells(cells.count + extra), scale: watts(factor) / power_W },
    );
  return list;
}

/**
 * Tries the changes on the sampled dark seasons, smallest effort first, and proves the first that seems to hold on all
 * years. Returns those tried; `holds` is true only where the full run showed it.
 */
export function tryChanges(
  kit: Kit,
  perch: Perch,
  plan: SitePlan,
  site: SiteWeather,
  sample: SeasonSample,
  supply: Supply,
  whole: Supply,
  run: SeasonRun,
  target: Target,
): ChangeSummary[] {
  const tried: ChangeSummary[] = [];
  const local: SiteWeather = { ...site, hours: sample.weather };
  for (const candidate of candidates(kit, plan)) {
    const node: NodeSpec = nodeOf(candidate.kit);
    const cut = candidate.newSupply ? makeSupply(candidate.kit, perch, candidate.plan, local) : supply;
    const dark = darkOfSample(buildNode(node), scaledHours(candidate.kit, cut, candidate.scale), sample.seasons.length);
    const left = dark.reduce((count, h) => count + (h > 0 ? 1 : 0), 0);
    const guess = shareOf(Math.min(run.seasons, Math.round(left * sample.weight)), run.seasons);
    let share = guess;
    let holds = false;
    if (guess.high <= target.share) {
      const all = candidate.newSupply ? makeSupply(candidate.kit, perch, candidate.plan, site) : whole;
      const proof = forecast(node, scaledHours(candidate.kit, all, candidate.scale), site.startMonth, run.seasons).run;
      let darkYears = 0;
      for (let s = 0; s < proof.seasons; s++) if (darkIn(proof, s)) darkYears++;
      share = shareOf(darkYears, proof.seasons);
      holds = share.high <= target.share;
    }
    tried.push({ change: candidate.change, set: candidate.set, darkYearShare: share, holds });
    if (holds) break;
  }
  return tried;
}

function darkIn(run: SeasonRun, season: number): boolean {
  for (let m = 0; m < 12; m++) if (run.darkByMonth[season * 12 + m]! > 0) return true;
  return false;
}
