/** Where a kit holds: the map and the table of all reference climates. */

import type { Assumption, Caution, YearStrip } from '../core/energy/index.ts';
import type { Interval } from '../core/math/index.ts';
import type { Fonts } from './css.ts';
import { figureTwice, type Page, pageLayout, section } from './layout.ts';
import { methodMarkup } from './page.ts';
import { yearStrip } from './strip.ts';
import { element, escapeText } from './svg.ts';
import { type Row, table } from './tables.ts';
import { WHERE_VERDICTS, type WherePlace, whereMap, whereSentence, whereShape } from './where-map.ts';
import { formatNumber, formatPosition, monthName, percent } from './words.ts';
import { assumptionsSection, cautionsSection } from './year-tables.ts';

export interface WhereRow extends WherePlace {
  readonly elevation_m: number;
  readonly darkYearShare: Interval;
  readonly worstMonth: number;
  /** What it takes there, in words: `4 cells`, `4.5 W`, or nothing. */
  readonly needs: string;
  readonly strip: YearStrip;
}

export interface WhereInput {
  readonly kit: string;
  readonly rows: readonly WhereRow[];
  /** The target, in words. */
  readonly target: string;
  readonly years: number;
  readonly seed: number;
  readonly verdict?: string;
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
  readonly generatedFrom: readonly string[];
  readonly fonts?: Fonts;
}

function verdictCell(row: WhereRow): { html: string } {
  const icon = element(
    'svg',
    { class: 'sp', width: 12, height: 12, viewBox: '0 0 12 12', 'aria-hidden': 'true' },
    whereShape(row.verdict, 6, 6, 4.5),
  );
  return { html: `${icon} ${escapeText(row.verdict)}` };
}

/** Map, then the table in the order given, for the answer to "may I send one there?". */
export function whereDocument(input: WhereInput): Page {
  const { kit, rows, fonts } = input;
  const list: Row[] = rows.map((r, i) => ({
    cells: [
      r.name,
      verdictCell(r),
      r.needs === '' ? '–' : r.needs,
      { html: yearStrip(r.strip, { id: `where-strip-${i}`, width: 120, height: 16, name: r.name, standalone: false }) },
      percent(r.darkYearShare.mean, 1).replace(' %', ''),
      percent(r.darkYearShare.high, 1).replace(' %', ''),
      monthName(r.worstMonth),
      formatPosition(r, 1),
      formatNumber(r.elevation_m),
    ],
  }));
  const columns = [
    { head: 'climate' },
    { head: 'verdict' },
    { head: 'needs' },
    { head: 'year strip' },
    { head: 'dark years, %', figures: true },
    { head: 'upper bound, %', figures: true },
    { head: 'worst month' },
    { head: 'position' },
    { head: 'elevation, m', figures: true },
  ];
  const hardest = WHERE_VERDICTS.findLast((v) => rows.some((r) => r.verdict === v));
  return {
    title: `Where ${kit} holds`,
    thing: [
      kit,
      `${rows.length} reference climates`,
      `target: ${input.target}`,
      `${formatNumber(input.years)} years, seed ${input.seed}`,
    ],
    verdict: input.verdict ?? `${kit} ${whereSentence(rows).replace(/^Holds/, 'holds')}`,
    main: [
      section(
        'map',
        'The map',
        hardest === undefined || hardest === 'holds' ? '' : 'Shapes tell what it takes; point at one for its name.',
        figureTwice('where-picture', (width, id) => whereMap(rows, { id, width, standalone: false })),
      ),
    ],
    below: [section('places', 'All climates', '', table(`Target: ${input.target}`, columns, list, { tight: true }))],
    aside: [assumptionsSection(input.assumptions), cautionsSection(input.cautions)],
    method: methodMarkup({
      years: input.years,
      seed: input.seed,
      weather: 'synthetic years of each reference climate',
    }),
    generatedFrom: input.generatedFrom,
    ...(fonts === undefined ? {} : { fonts }),
  };
}

/** The same as one self-contained HTML file. */
export function wherePage(input: WhereInput): string {
  return pageLayout(whereDocument(input));
}
