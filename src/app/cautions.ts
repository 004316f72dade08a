import { cautionOf } from '../core/cells/index.ts';
import { type Caution, TALLY } from '../core/energy/index.ts';
import type { SeasonRun } from '../core/energy/seasons.ts';
import type { Kit } from '../records/index.ts';
import { panelsOf } from '../records/index.ts';
import { kitPower_W } from './panels.ts';
import type { SitePlan, SiteWeather } from './site.ts';

/** The cautions that apply to a kit at a perch: of its parts, of the place, and of the model itself. */
export function cautionsFor(kit: Kit, plan: SitePlan, site: SiteWeather, run: SeasonRun): Caution[] {
  const list: Caution[] = [...plan.cautions];
  const add = (code: Parameters<typeof cautionOf>[0]) => {
    const { code: name, text } = cautionOf(code);
    list.push({ code: name, text });
  };
  const perYear = (field: number) => run.total[field]! / run.seasons;
  const coldest = Math.min(...site.monthlyTemperature_degC);
  if (perYear(TALLY.plating_h) > 0)
    list.push({
      code: 'plating-hours',
      text: `Without cold lock-out the cells are charged below freezing in ${Math.round(perYear(TALLY.plating_h))} hours a year: each plates lithium. Use a charger that measures the cells' temperature.`,
    });
  if (coldest < 5) add('charging-below-freezing');
  if (kit.cells.count > 1) add('damaged-or-mixed-cells');
  add('sealed-box-in-sun');
  if (kit.cutoff.none)
    list.push({
      code: 'no-cutoff',
      text: `Without a cut-off the board browns out on empty cells${perYear(TALLY.lockUps) > 0 ? ` ${perYear(TALLY.lockUps).toFixed(1)} times a year here` : ''}; one that does not restart by itself needs hands, that is the climb. Deep discharge harms the cells.`,
    });
  const capacity_Ah = (kit.cells.count * kit.cells.capacity_mAh) / 1000;
  const charge_A = Math.min(
    kitPower_W(kit) / 3.9,
    kit.charger.currentLimit_mA === undefined ? Number.POSITIVE_INFINITY : kit.charger.currentLimit_mA / 1000,
  );
  if (coldest < 5 && charge_A > 0.1 * capacity_Ah && panelsOf(kit).length > 0)
    list.push({
      code: 'cold-charge-rate',
      text: `In full sun the panel can charge at ${charge_A.toFixed(1)} A, more than a tenth of the capacity an hour: several cell specifications allow that only above 5 °C. Limit the current or add cells.`,
    });
  if (plan.climate.kind === 'file' && site.years === 1)
    list.push({
      code: 'one-year',
      text: 'One year of weather says nothing about rare winters: run synthetic years (without --weather) for odds.',
    });
  add('work-at-height');
  add('lightning-and-earthing');
  add('radio-limits');
  return list;
}
