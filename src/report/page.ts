/** The report of one kit at one perch: one self-contained HTML file. */

import type { YearOutcome, YearPictures } from '../core/energy/index.ts';
import { ageingChart, ageingSentence } from './ageing.ts';
import { carpetPlot, carpetSentence } from './carpet.ts';
import type { Fonts } from './css.ts';
import { fanChart, fanSentence } from './fan.ts';
import { frontierChart, frontierSentence } from './frontier.ts';
import { harvestChart, harvestSentence } from './harvest.ts';
import { figure, figureTwice, NARROW_px, type Page, pageLayout, section } from './layout.ts';
import { BALANCE_TEXT, PALETTE_TEXT, YEAR_STEPS } from './sources.ts';
import { spellsChart, spellsSentence } from './spells.ts';
import { yearStrip } from './strip.ts';
import { sunPathChart, sunPathSentence } from './sunpath.ts';
import { escapeText } from './svg.ts';
import { formatNumber, formatPosition, monthName } from './words.ts';
import * as parts from './year-tables.ts';

export interface ReportInput {
  readonly outcome: YearOutcome;
  readonly pictures: YearPictures;
  /** Files and commands the report was made from, told at its end. */
  readonly generatedFrom: readonly string[];
  readonly fonts?: Fonts;
}

/** The line on top: kit, perch, position, years. */
export function thingLine(o: YearOutcome): string[] {
  return [
    `${o.kit} at ${o.perch}`,
    `${formatPosition(o.place)}, ${formatNumber(o.place.elevation_m)} m`,
    `${formatNumber(o.years)} years, seed ${o.seed}`,
    o.weather,
  ];
}

/** The smallest change that holds, or that none was found, as the sentence under the verdict. */
export function changeSentence(o: YearOutcome): string {
  const smallest = o.changes.find((c) => c.holds);
  if (smallest) return `Smallest change that holds: ${smallest.change}.`;
  if (o.changes.length > 0) return 'None of the single changes tried is enough.';
  return o.state === 'stays up' ? 'No change is needed.' : 'No single change was tried.';
}

/** What was computed, step by step, with sources. */
export function methodMarkup(o: Pick<YearOutcome, 'years' | 'seed' | 'weather'>): string[] {
  return [
    `<p>${escapeText(`${formatNumber(o.years)} years, seed ${o.seed}; weather: ${o.weather}. ${BALANCE_TEXT}`)}</p>`,
    `<ul>${YEAR_STEPS.map((s) => `<li>${escapeText(s.what)}: ${escapeText(s.source)}</li>`).join('')}</ul>`,
    `<p>${escapeText(PALETTE_TEXT)}</p>`,
  ];
}

/**
 * Verdict, pictures, tables, assumptions, cautions and method of one run, to be laid out as HTML or set on paper. Throws
 * RangeError on a strip without twelve months.
 */
export function reportDocument({ outcome: o, pictures: p, generatedFrom, fonts }: ReportInput): Page {
  const small = { standalone: false } as const;
  const sun = { ...o.place, horizon_deg: p.horizon_deg, darkestMonth: o.worstMonth };
  const hasSpells = p.spells.length > 0;
  const main = [
    section(
      'strip',
      'The year in one band',
      '',
      figureTwice('strip-picture', (width, id) =>
        yearStrip(o.strip, { ...small, id, width, height: 112, name: `${o.kit} at ${o.perch}` }),
      ),
    ),
    section(
      'fan',
      'State of charge over the year',
      fanSentence(p),
      figureTwice('fan-picture', (width, id) => fanChart(p, { ...small, id, width })),
    ),
    section('numbers', 'In numbers', '', parts.numbersTable(o)),
    `<div class="pair">${section(
      'harvest',
      'Harvest against need',
      harvestSentence(o.months),
      figure(harvestChart(o.months, { ...small, id: 'harvest-picture', width: NARROW_px })),
    )}${
      hasSpells
        ? section(
            'spells',
            'Dark spells',
            spellsSentence(p.spells),
            figure(spellsChart(p.spells, { ...small, id: 'spells-picture', width: NARROW_px })),
          )
        : ''
    }</div>`,
    section(
      'carpet',
      'The worst year, hour by hour',
      carpetSentence(p.carpet, p.startDay),
      figureTwice('carpet-picture', (width, id) =>
        carpetPlot(p.carpet, p.startDay, { ...small, id, width, year: p.carpetYear }),
      ),
    ),
    section(
      'sunpath',
      'Sun paths and horizon',
      sunPathSentence(sun),
      figureTwice('sunpath-picture', (width, id) => sunPathChart(sun, { ...small, id, width })),
    ),
    `<div class="pair">${
      p.frontier === null
        ? ''
        : section(
            'frontier',
            'Panel and cells that hold',
            frontierSentence(p.frontier),
            figure(frontierChart(p.frontier, { ...small, id: 'frontier-picture', width: NARROW_px })),
          )
    }${section(
      'ageing',
      'Ageing of the cells',
      ageingSentence(o.ageing),
      figure(ageingChart(o.ageing, { ...small, id: 'ageing-picture', width: NARROW_px })),
      ...o.ageing.warnings.map((w) => `<p class="note">${escapeText(w)}</p>`),
    )}</div>`,
    section('causes', 'What limits it', parts.causesSentence(o), parts.causesTable(o)),
    section('changes', 'The smallest change', changeSentence(o), parts.changesTable(o)),
    section('budget', 'Where the energy of the worst month goes', parts.budgetSentence(o), parts.budgetTable(o)),
    section('ages', 'With older cells', '', parts.agesTable(o)),
    parts.ceilingsTable(o) === ''
      ? ''
      : section('ceilings', 'What the ceiling buys and costs', '', parts.ceilingsTable(o)),
  ];
  return {
    title: `${o.kit} at ${o.perch}: ${o.state} (${monthName(o.worstMonth)} is the worst month)`,
    thing: thingLine(o),
    verdict: o.verdict,
    state: o.state,
    lead: changeSentence(o),
    main,
    aside: [parts.assumptionsSection(o.assumptions), parts.cautionsSection(o.cautions)],
    method: methodMarkup(o),
    generatedFrom,
    ...(fonts === undefined ? {} : { fonts }),
  };
}

/** The same as an HTML file that needs nothing else: no script, no network; light and dark; A4, Letter and phones. */
export function reportPage(input: ReportInput): string {
  return pageLayout(reportDocument(input));
}
