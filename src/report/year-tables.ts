/** The tables of a year's outcome. */

import type { Assumption, Caution, EnergyBudget, YearOutcome } from '../core/energy/index.ts';
import type { Interval } from '../core/math/index.ts';
import { section } from './layout.ts';
import { escapeText } from './svg.ts';
import { type Row, table } from './tables.ts';
import { formatFigures, formatHours, formatNumber, monthName, percent } from './words.ts';

const shareInterval = (i: Interval) => `${percent(i.low, 1).replace(' %', '')} to ${percent(i.high, 1)}`;
const hoursInterval = (i: Interval) => `${formatFigures(i.low)} to ${formatFigures(i.high)}`;

/** The figures behind the verdict, with their 95 % intervals where they have one. */
export function numbersTable(o: YearOutcome): string {
  const row = (head: string, value: string, interval = ''): Row => ({ cells: [head, value, interval] });
  const rows = [
    row('Years with a dark hour', percent(o.darkYearShare.mean, 1), shareInterval(o.darkYearShare)),
    row('Dark hours, a year', formatFigures(o.dark_h_per_year.mean), hoursInterval(o.dark_h_per_year)),
    row('Switched off, times a year', formatFigures(o.darkSpells_per_year)),
    row('Longest dark spell', formatHours(o.longestDark_h)),
    row('Worst month', monthName(o.worstMonth)),
    row('Carried with no sun in the cold month, days', formatNumber(o.autonomy_d, 1)),
    row('Back after a cut-off, days', o.recovery_d === null ? 'no cut-off' : formatNumber(o.recovery_d, 1)),
    row('Lowest state of charge', percent(o.minStateOfCharge, 1)),
    row('Energy not served, Wh a year', formatFigures(o.unserved_Wh_per_year)),
    row('Too cold to charge, hours a year', formatNumber(o.coldBlocked_h_per_year)),
    row('At the ceiling, hours a year', formatNumber(o.ceiling_h_per_year)),
    ...(o.plating_h_per_year > 0 ? [row('Charged below 0 °C, hours a year', formatNumber(o.plating_h_per_year))] : []),
    ...(o.lockUps_per_year > 0 ? [row('Lock-ups that may need hands, a year', formatFigures(o.lockUps_per_year))] : []),
    ...(o.falseRestarts_per_year > 0 ? [row('False restarts, a year', formatFigures(o.falseRestarts_per_year))] : []),
  ];
  return table(
    `Over ${formatNumber(o.years)} years`,
    [{ head: 'what' }, { head: 'value', figures: true }, { head: '95 % interval', figures: true }],
    rows,
  );
}

/** The first cause, in a sentence. */
export function causesSentence(o: YearOutcome): string {
  const first = o.causes[0];
  if (first === undefined || !(o.dark_h_per_year.mean > 0)) return 'There are no dark hours to explain.';
  return `Each cause with the dark hours that are left when it alone is taken away. First: the ${first.cause}; with ${first.removed}, ${formatFigures(first.darkLeft_h_per_year)} of ${formatFigures(o.dark_h_per_year.mean)} dark hours a year are left.`;
}

export function causesTable(o: YearOutcome): string {
  if (o.causes.length === 0) return '';
  return table(
    'Causes, the strongest first',
    [
      { head: 'cause' },
      { head: 'taken away: with' },
      { head: 'dark hours left, a year', figures: true },
      { head: 'explains, %', figures: true },
    ],
    o.causes.map((c) => ({
      cells: [c.cause, c.removed, formatFigures(c.darkLeft_h_per_year), percent(c.explains).replace(' %', '')],
    })),
  );
}

export function changesTable(o: YearOutcome): string {
  if (o.changes.length === 0) return '';
  return table(
    'Single changes tried',
    [
      { head: 'change' },
      { head: 'then it' },
      { head: 'dark years, %', figures: true },
      { head: '95 % interval', figures: true },
      { head: 'set' },
    ],
    o.changes.map((c) => ({
      cells: [
        c.change,
        c.holds ? '● holds' : '○ misses',
        percent(c.darkYearShare.mean, 1).replace(' %', ''),
        shareInterval(c.darkYearShare),
        { html: c.set.map((s) => `<code>${escapeText(s)}</code>`).join('<br>') },
      ],
      ...(c.holds ? { className: 'here' as const } : {}),
    })),
  );
}

const worst = (o: YearOutcome) => o.months.find((m) => m.month === o.worstMonth);

export function budgetSentence(o: YearOutcome): string {
  const month = worst(o);
  if (month === undefined) return 'No budget of the worst month was given.';
  return `In ${monthName(month.month)}, averaged over all years, ${formatFigures(month.harvest_Wh_day)} Wh a day come in and ${formatFigures(month.need_Wh_day)} Wh a day are needed.`;
}

/** Budget of the worst month and of the year, Wh. */
export function budgetTable(o: YearOutcome): string {
  const month = worst(o);
  const lines: readonly (readonly [keyof EnergyBudget, string])[] = [
    ['harvest_Wh', 'harvest: what the charger could deliver'],
    ['load_Wh', 'load'],
    ['curtailed_Wh', 'curtailed: cells full, too cold, or above the charge limit'],
    ['losses_Wh', 'losses: cells, and the charger’s own use'],
    ['stored_Wh', 'left in the cells'],
  ];
  const figure = (b: EnergyBudget | undefined, key: keyof EnergyBudget) =>
    b === undefined ? '–' : formatNumber(b[key], 1);
  return table(
    'Harvest = load + curtailed + losses + stored',
    [
      { head: 'energy' },
      { head: `${monthName(o.worstMonth)}, Wh`, figures: true },
      { head: 'whole year, Wh', figures: true },
    ],
    lines.map(([key, name], i) => ({
      cells: [name, figure(month?.budget, key), figure(o.balance, key)],
      ...(i === 1 ? { className: 'sum' as const } : {}),
    })),
  );
}

export function agesTable(o: YearOutcome): string {
  return table(
    'The same kit with its cells new and aged',
    [
      { head: 'age, years', figures: true },
      { head: 'capacity, %', figures: true },
      { head: 'resistance, times', figures: true },
      { head: 'dark hours, a year', figures: true },
      { head: 'dark years, %', figures: true },
      { head: '95 % interval', figures: true },
    ],
    o.ages.map((a) => ({
      cells: [
        formatNumber(a.age_years, a.age_years % 1 === 0 ? 0 : 1),
        percent(a.capacityShare).replace(' %', ''),
        formatNumber(a.resistanceFactor, 2),
        formatFigures(a.dark_h_per_year.mean),
        percent(a.darkYearShare.mean, 1).replace(' %', ''),
        shareInterval(a.darkYearShare),
      ],
    })),
  );
}

export function ceilingsTable(o: YearOutcome): string {
  if (o.ageing.ceilings.length === 0) return '';
  return table(
    'The same kit with another charge ceiling',
    [
      { head: 'ceiling, %', figures: true },
      { head: 'years to 80 %', figures: true },
      { head: 'dark years, %', figures: true },
      { head: 'days without sun', figures: true },
    ],
    o.ageing.ceilings.map((c) => ({
      cells: [
        percent(c.ceiling_soc).replace(' %', ''),
        formatNumber(c.yearsTo80, 1),
        percent(c.darkYearShare, 1).replace(' %', ''),
        formatNumber(c.autonomy_d, 1),
      ],
    })),
  );
}

export function assumptionsSection(assumptions: readonly Assumption[]): string {
  if (assumptions.length === 0) return section('assumptions', 'Assumed', 'Every input was given.');
  const list = assumptions
    .map((a) => `<dt>${escapeText(a.field)}: ${escapeText(a.value)}</dt><dd>${escapeText(a.why)}</dd>`)
    .join('');
  return section('assumptions', 'Assumed', '', `<dl>${list}</dl>`);
}

export function cautionsSection(cautions: readonly Caution[]): string {
  if (cautions.length === 0) return section('cautions', 'Cautions', 'None for this kit at this perch.');
  const list = cautions.map((c) => `<li>${escapeText(c.text)}</li>`).join('');
  return section('cautions', 'Cautions', '', `<ul>${list}</ul>`);
}
