/** What a unit costs and all that follows, as a page with its pictures. */
import { type BreakEvenPicture, breakEvenChart } from './break-even-chart.ts';
import { type CrossoverPicture, crossoverChart } from './crossover-chart.ts';
import { figureTwice, type Page, section } from './layout.ts';
import { type ProfitPicture, profitChart } from './profit-chart.ts';
import { escapeText } from './svg.ts';
import { table } from './tables.ts';

export interface CostTable {
  readonly heads: readonly string[];
  /** Columns of text beside the first; all others are figures. */
  readonly text?: readonly number[];
  /** Rows that sum up. */
  readonly strong?: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

export interface CostPageInput {
  readonly name: string;
  readonly currency: string;
  readonly verdict: string;
  /** What it is made of, line by line, in words and sums. */
  readonly unit: CostTable;
  /** A sentence for each part that has an answer. */
  readonly price: string | null;
  readonly breakEven: { readonly said: string; readonly picture: BreakEvenPicture } | null;
  readonly next: { readonly said: string; readonly picture: ProfitPicture | null } | null;
  readonly crossover: { readonly said: string; readonly picture: CrossoverPicture } | null;
  readonly ways: { readonly said: string; readonly table: CostTable } | null;
  readonly notes: readonly string[];
  readonly draws: number;
  readonly seed: number;
  readonly generatedFrom: readonly string[];
}

const tableOf = (caption: string, { heads, rows, text = [], strong = [] }: CostTable) =>
  table(
    caption,
    heads.map((head, i) => ({ head, figures: i > 0 && !text.includes(i) })),
    rows.map((cells) => (strong.includes(cells[0]!) ? { cells, className: 'here' as const } : { cells })),
  );

/** Verdict, pictures and tables, to be laid out as HTML or set on paper. */
export function costDocument(p: CostPageInput): Page {
  const small = { standalone: false } as const;
  const main = [
    section('unit', 'What it is made of', '', tableOf(`Cost of a good unit, ${p.currency}`, p.unit)),
    p.price === null ? '' : section('price', 'What to ask for it', p.price),
    p.breakEven === null
      ? ''
      : section(
          'break-even',
          'When it has paid',
          p.breakEven.said,
          figureTwice('break-even-picture', (width, id) =>
            breakEvenChart(p.breakEven!.picture, { ...small, id, width }),
          ),
        ),
    p.next === null
      ? ''
      : section(
          'next',
          'How many next',
          p.next.said,
          ...(p.next.picture === null
            ? []
            : [figureTwice('next-picture', (width, id) => profitChart(p.next!.picture!, { ...small, id, width }))]),
        ),
    p.crossover === null
      ? ''
      : section(
          'crossover',
          'Own tool or bought in',
          p.crossover.said,
          figureTwice('crossover-picture', (width, id) =>
            crossoverChart(p.crossover!.picture, { ...small, id, width }),
          ),
        ),
    p.ways === null ? '' : section('ways', 'Ways to sell it', p.ways.said, tableOf('For one sold', p.ways.table)),
  ];
  return {
    title: `Cost of ${p.name}`,
    thing: [p.name, `sums in ${p.currency}`, `${p.draws} draws, seed ${p.seed}`],
    verdict: p.verdict,
    main,
    aside: [
      section(
        'notes',
        'What it rests on',
        '',
        `<ul class="plain">${p.notes.map((note) => `<li>${escapeText(note)}</li>`).join('')}</ul>`,
      ),
    ],
    method: [
      `<p>${escapeText(
        'Parts by the lots that units hold, landed with freight, duty and fees; work by times measured, else by a learning curve (Crawford: unit times; Wright 1936: their mean). Lost units: 1/yield are begun for a good one. Break-even: fixed over price less fees and cost. Next batch: newsvendor (Arrow, Harris & Marschak 1951) on a demand whose rate is known only from what was ordered (Gelman et al., 2.6). Own tool: crossover of two lines in each draw. Sums are whole units of the currency, halves rounded up; lines sum to their total by largest remainders.',
      )}</p>`,
    ],
    generatedFrom: p.generatedFrom,
  };
}
