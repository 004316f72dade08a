/** Kits side by side at one perch, with the inputs in which they differ marked. */

import type { YearOutcome } from '../core/energy/index.ts';
import type { Fonts } from './css.ts';
import { type Page, pageLayout, section, stateIcon } from './layout.ts';
import { methodMarkup } from './page.ts';
import { yearStrip } from './strip.ts';
import { escapeText } from './svg.ts';
import { type Row, table } from './tables.ts';
import { formatFigures, formatHours, formatNumber, formatPosition, monthName, percent } from './words.ts';
import { assumptionsSection, cautionsSection } from './year-tables.ts';

export interface CompareColumn {
  readonly outcome: YearOutcome;
  /** Inputs of the kit by dotted path, as text with the unit in the path. */
  readonly inputs: readonly { readonly field: string; readonly value: string }[];
}

export interface CompareInput {
  readonly perch: string;
  readonly columns: readonly CompareColumn[];
  /** The answer in a sentence; made from the columns when left out. */
  readonly verdict?: string;
  readonly generatedFrom: readonly string[];
  readonly fonts?: Fonts;
}

/** Which kit holds, in a sentence. */
export function compareSentence(perch: string, columns: readonly CompareColumn[]): string {
  const names = (state: YearOutcome['state']) =>
    columns.filter((c) => c.outcome.state === state).map((c) => c.outcome.kit);
  const list = (all: readonly string[]) =>
    all.length < 2 ? (all[0] ?? '') : `${all.slice(0, -1).join(', ')} and ${all[all.length - 1]}`;
  const [up, edge] = [names('stays up'), names('on the edge')];
  if (up.length > 0)
    return `At ${perch}, ${list(up)} ${up.length === 1 ? 'stays' : 'stay'} up${up.length === columns.length ? '' : '; the others do not'}.`;
  if (edge.length > 0)
    return `At ${perch} none stays up for sure; ${list(edge)} ${edge.length === 1 ? 'is' : 'are'} on the edge.`;
  return `At ${perch} none of the ${columns.length} kits stays up.`;
}

/** Rows of inputs; those that are not the same in all columns are marked by a sign and in bold, and stand first. */
export function inputRows(columns: readonly CompareColumn[]): Row[] {
  const fields = [...new Set(columns.flatMap((c) => c.inputs.map((i) => i.field)))];
  const rows = fields.map((field) => {
    const values = columns.map((c) => c.inputs.find((i) => i.field === field)?.value ?? '–');
    const differs = new Set(values).size > 1;
    return { differs, cells: [`${differs ? '≠ ' : ''}${field}`, ...values] };
  });
  return [...rows.filter((r) => r.differs), ...rows.filter((r) => !r.differs)].map((r) => ({
    cells: r.cells,
    ...(r.differs ? { className: 'differs' as const } : {}),
  }));
}

/** One column a kit: state, year strip, figures, then the inputs. */
export function compareDocument({ perch, columns, verdict, generatedFrom, fonts }: CompareInput): Page {
  const outcomes = columns.map((c) => c.outcome);
  const row = (head: string, value: (o: YearOutcome) => string): Row => ({ cells: [head, ...outcomes.map(value)] });
  const worst = (o: YearOutcome) => o.months.find((m) => m.month === o.worstMonth);
  const results: Row[] = [
    {
      cells: ['state', ...outcomes.map((o) => ({ html: `${stateIcon(o.state, 12)} ${escapeText(o.state)}` }))],
    },
    {
      cells: [
        'year strip',
        ...outcomes.map((o, i) => ({
          html: yearStrip(o.strip, {
            id: `compare-strip-${i}`,
            width: 120,
            height: 16,
            name: o.kit,
            standalone: false,
          }),
        })),
      ],
    },
    row('years with a dark hour, %', (o) => percent(o.darkYearShare.mean, 1).replace(' %', '')),
    row('95 % interval, %', (o) =>
      `${percent(o.darkYearShare.low, 1)} to ${percent(o.darkYearShare.high, 1)}`.replaceAll(' %', ''),
    ),
    row('dark hours, a year', (o) => formatFigures(o.dark_h_per_year.mean)),
    row('longest dark spell', (o) => formatHours(o.longestDark_h)),
    row('worst month', (o) => monthName(o.worstMonth)),
    row('its harvest, Wh a day', (o) => formatFigures(worst(o)?.harvest_Wh_day ?? Number.NaN)),
    row('its need, Wh a day', (o) => formatFigures(worst(o)?.need_Wh_day ?? Number.NaN)),
    row('days without sun', (o) => formatNumber(o.autonomy_d, 1)),
    row('lowest state of charge, %', (o) => percent(o.minStateOfCharge, 1).replace(' %', '')),
    row('years to 80 % capacity', (o) =>
      o.ageing.yearsTo80 === null
        ? '–'
        : `${formatNumber(o.ageing.yearsTo80.low, 1)} to ${formatNumber(o.ageing.yearsTo80.high, 1)}`,
    ),
  ];
  const heads = (first: string) => [{ head: first }, ...outcomes.map((o) => ({ head: o.kit }))];
  const main = [
    section('results', 'Side by side', '', table('Results', heads('what'), results)),
    section(
      'inputs',
      'What differs',
      'Inputs that are not the same in all kits stand first, in bold, with the sign ≠.',
      table('Inputs', heads('input'), inputRows(columns)),
    ),
    section(
      'verdicts',
      'In a sentence each',
      '',
      `<ul class="plain">${outcomes.map((o) => `<li>${escapeText(o.verdict)}</li>`).join('')}</ul>`,
    ),
  ];
  const once = <T>(all: readonly T[], key: (item: T) => string) => [
    ...new Map(all.map((item) => [key(item), item])).values(),
  ];
  const first = outcomes[0];
  return {
    title: `${outcomes.map((o) => o.kit).join(', ')} at ${perch}`,
    thing: [
      `${outcomes.length} kits at ${perch}`,
      ...(first
        ? [formatPosition(first.place), `${formatNumber(first.years)} years, seed ${first.seed}`, first.weather]
        : []),
    ],
    verdict: verdict ?? compareSentence(perch, columns),
    main,
    aside: [
      assumptionsSection(
        once(
          outcomes.flatMap((o) => o.assumptions),
          (a) => `${a.field}\n${a.value}\n${a.why}`,
        ),
      ),
      cautionsSection(
        once(
          outcomes.flatMap((o) => o.cautions),
          (c) => c.text,
        ),
      ),
    ],
    method: first ? methodMarkup(first) : [],
    generatedFrom,
    ...(fonts === undefined ? {} : { fonts }),
  };
}

/** The same as one self-contained HTML file. */
export function comparePage(input: CompareInput): string {
  return pageLayout(compareDocument(input));
}
