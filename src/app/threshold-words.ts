import type { CornerSpec } from './threshold-choice.ts';
import type { ThresholdRow, WithoutCutoff } from './threshold-row.ts';
import { figure, oneIn } from './words.ts';

/** Volts with two digits, three where the third is not zero. */
export function voltsText(value_V: number): string {
  const three = value_V.toFixed(3);
  return `${three.endsWith('0') ? three.slice(0, -1) : three} V`;
}

const percentText = (share: number) => `${Math.round(100 * share)} %`;
const hoursText = (hours: number) => (hours === 0 ? 'no dark hour' : `${figure(hours, 2)} dark hours a year`);

/** The recommendation in a sentence or two. */
export function verdictFor(
  kit: string,
  perch: string,
  best: ThresholdRow,
  without: WithoutCutoff | null,
  years: number,
): string {
  const set = `charge to ${voltsText(best.ceiling_V)} (${percentText(best.ceiling_soc)}), switch off at ${voltsText(best.cutoff_V)} under the transmit pulse, on again at ${voltsText(best.reconnect_V)} at rest`;
  const dark =
    best.darkYearShare.mean === 0
      ? `no dark hour in ${years} years (upper bound ${oneIn(best.darkYearShare.high)}, 95 %)`
      : `${hoursText(best.dark_h_per_year)}, dark in ${percentText(best.darkYearShare.mean)} of years`;
  const gain =
    without === null
      ? ''
      : without.lockUps_per_year > 0
        ? ` As it stands, without a cut-off, it locks up ${figure(without.lockUps_per_year, 2)} times a year and is dark for ${figure(without.dark_h_per_year, 2)} hours; each time someone has to go there.`
        : ` As it stands, without a cut-off, it is dark for ${figure(without.dark_h_per_year, 2)} hours a year and does not lock up.`;
  const missed =
    best.wanting.length > 0 ? ` No choice meets every demand; this one misses: ${best.wanting.join(', ')}.` : '';
  return `${kit} at ${perch}: ${set}: ${dark}.${gain}${missed}`;
}

/** Why this choice, one sentence each. */
export function reasonsFor(
  best: ThresholdRow,
  corner: CornerSpec,
  without: WithoutCutoff | null,
  rows: readonly ThresholdRow[],
): string[] {
  const mV = (value: number) => `${Math.round(value)} mV`;
  const gap = 1000 * (best.reconnect_V - best.cutoff_V);
  const list: string[] = [];
  list.push(
    `Hysteresis: of the ${mV(gap)} between cut-off and reconnect, tolerance takes ${mV(2 * corner.tolerance_mV)}, drift to the cold month (${figure(corner.coldMonth_degC, 2)} °C) ${mV(2 * corner.drift_mV)}, the lift of charging cells ${mV(corner.chargeLift_mV)} and the restart on cells ${corner.age_years} years old at ${figure(corner.coldest_degC, 2)} °C ${mV(corner.restartDrop_mV)}; ${mV(best.corner.margin_mV)} are left, ${mV(corner.reserve_mV)} are wanted for what the model leaves out. False restarts in the worst unit: ${best.corner.falseRestarts_per_year === 0 ? 'none' : `${figure(best.corner.falseRestarts_per_year, 2)} a year`}.`,
  );
  list.push(
    `Cut-off: the lowest unit switches off at ${voltsText(round10(best.cutoff_V - (corner.tolerance_mV + corner.drift_mV) / 1000))}; below ${voltsText(corner.floor_V)} ${floorText(corner)}. Lowest rested voltage in all years: ${voltsText(round10(best.lowest_V))}, in the worst unit with old cells ${voltsText(round10(best.corner.lowest_V))}.`,
  );
  list.push(
    `Dark hours: ${hoursText(best.dark_h_per_year)}; in the worst unit with cells ${corner.age_years} years old ${hoursText(best.corner.dark_h_per_year)}.`,
  );
  const full = rows.filter((r) => r.cutoff_V === best.cutoff_V && r.reconnect_V === best.reconnect_V).at(-1);
  if (best.yearsTo80 && full?.yearsTo80 && full.ceiling_V > best.ceiling_V)
    list.push(
      `Ceiling: the cells reach 80 % of their capacity after ${lifeText(best)} years (two models); charged to ${voltsText(full.ceiling_V)} (${percentText(full.ceiling_soc)}) after ${lifeText(full)}.`,
    );
  else if (best.yearsTo80)
    list.push(`Ceiling: the cells reach 80 % of their capacity after ${lifeText(best)} years (two models).`);
  else
    list.push(
      'Ceiling: ageing is not modelled for a voltage table of your own; a lower ceiling is kinder to any cell.',
    );
  if (without !== null)
    list.push(
      `Without a cut-off: ${figure(without.lockUps_per_year, 2)} lock-ups a year, ${hoursText(without.dark_h_per_year)}, lowest rested voltage ${voltsText(round10(without.lowest_V))}; a cut-off with hysteresis brings it back by itself ${best.spells_per_year === 0 ? 'should it ever go dark' : `${figure(best.spells_per_year, 2)} times a year`}.`,
    );
  return list;
}

function floorText({ floor, floor_V }: CornerSpec): string {
  if (floor === 'brown-out') return 'the board fails by itself';
  return floor === 'table'
    ? 'the voltage table of the cells ends'
    : `cells begin to suffer (2.8 to ${floor_V.toFixed(1)} V, from memory)`;
}

const round10 = (value_V: number) => Math.round(value_V * 100) / 100;

function lifeText({ yearsTo80 }: ThresholdRow): string {
  return yearsTo80 === null ? 'an unknown number of' : `${yearsTo80.low.toFixed(0)} to ${yearsTo80.high.toFixed(0)}`;
}

/** What another choice buys and costs against the recommended one. */
export function costText(best: ThresholdRow, other: ThresholdRow): string {
  const parts: string[] = [];
  const more = (now: number, then: number, unit: string, least: number) => {
    const by = then - now;
    if (Math.abs(by) >= least) parts.push(`${figure(Math.abs(by), 2)} ${unit} ${by > 0 ? 'more' : 'fewer'}`);
  };
  more(best.dark_h_per_year, other.dark_h_per_year, 'dark hours a year', 0.05);
  more(best.corner.dark_h_per_year, other.corner.dark_h_per_year, 'dark hours a year in the worst unit', 0.05);
  more(best.spells_per_year, other.spells_per_year, 'restarts a year', 0.005);
  if (best.yearsTo80 && other.yearsTo80) more(best.yearsTo80.low, other.yearsTo80.low, 'years to 80 %', 0.1);
  more(best.autonomy_d, other.autonomy_d, 'days without sun', 0.1);
  more(best.corner.margin_mV, other.corner.margin_mV, 'mV of margin', 1);
  if (other.corner.falseRestarts_per_year > 0)
    parts.push(`${figure(other.corner.falseRestarts_per_year, 2)} false restarts a year in the worst unit`);
  if (other.corner.lockUps_per_year > 0)
    parts.push(`${figure(other.corner.lockUps_per_year, 2)} lock-ups a year in the worst unit`);
  const bad = other.wanting.length > 0 ? `; misses: ${other.wanting.join(', ')}` : '';
  return `${parts.length > 0 ? parts.join(', ') : 'no difference'}${bad}`;
}
