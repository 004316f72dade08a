/** What follows from a cost, in pictures: when it has paid, how many next, own tool or bought in. */
import type { BreakEvenOutcome } from '../../../app/bench/cost-even.ts';
import type { NextOutcome } from '../../../app/bench/cost-next.ts';
import { crossoverPictureOf, evenPictureOf, profitPictureOf } from '../../../app/bench/cost-pictures.ts';
import type { CrossoverOutcome } from '../../../app/bench/cost-tool.ts';
import {
  breakEvenChart,
  breakEvenWidest,
  crossoverAt,
  crossoverChart,
  profitBars,
  profitChart,
} from '../../../report/index.ts';
import { Picture } from '../../parts/picture.tsx';
import { DataTable } from '../../parts/table.tsx';
import { figures, format } from '../../state/settings.ts';
import { Notes, sumIn } from './cost-lines.tsx';

export function Crossover({ outcome }: { readonly outcome: CrossoverOutcome }) {
  const input = crossoverPictureOf(outcome);
  const text = sumIn(outcome.currency);
  return (
    <Picture
      id="crossover"
      heading="Own tool or bought in"
      said={outcome.verdict}
      name="housings"
      draw={(o) => crossoverChart(input, o)}
      stops={() => outcome.savings.map((s) => ({ x: crossoverAt(input, s.quantity), y: null }))}
      readout={({ stop }) => {
        const s = outcome.savings[stop ?? 0];
        return stop === undefined || s === undefined
          ? ''
          : `${s.quantity} housings: ${text(s.middle_minor)} ${outcome.currency} saved, ${text(s.low_minor)} to ${text(s.high_minor)} in nine cases of ten`;
      }}
      csv={() => [
        ['housings', 'saved_low', 'saved_middle', 'saved_high', 'currency'],
        ...input.savings.map((s) => [s.quantity, s.low, s.middle, s.high, outcome.currency]),
      ]}
    >
      <DataTable
        caption={`Over ${outcome.years} years, ${outcome.currency}`}
        file="own tool"
        columns={[
          { key: 'what', head: `over ${outcome.years} years` },
          { key: 'low', head: '5 %', figures: true },
          { key: 'middle', head: '50 %', figures: true },
          { key: 'high', head: '95 %', figures: true },
        ]}
        rows={[
          {
            key: 'worth',
            cells: [
              `worth today at ${format.value.figure(outcome.interest_pct, 3)} %, ${outcome.currency}`,
              text(outcome.worth.low_minor),
              text(outcome.worth.middle_minor),
              text(outcome.worth.high_minor),
            ],
          },
          {
            key: 'payback',
            cells: [
              'paid back after, years',
              years(outcome.paybackLow_years),
              years(outcome.paybackMiddle_years),
              years(outcome.paybackHigh_years),
            ],
          },
        ]}
      />
      <Notes list={outcome.notes} />
    </Picture>
  );
}

const years = (y: number | null) => (y === null ? 'never' : format.value.fixed(y, 1));

/** When it has paid: what units bring against what they cost. */
export function Even({ outcome }: { readonly outcome: BreakEvenOutcome }) {
  const input = evenPictureOf(outcome);
  const written = figures.value;
  const widest = breakEvenWidest(input);
  const n = (v: number) => written.number(v, 0);
  return (
    <Picture
      id="break-even"
      heading="When it has paid"
      said={outcome.verdict}
      name={outcome.name}
      draw={(o) => breakEvenChart(input, o)}
      steps={Math.min(60, widest)}
      readout={({ x }) => {
        const units = Math.round(x * widest);
        const { low, middle, high } = input.cost;
        const left = (cost: number) => units * (input.earned - cost) - input.fixed;
        return `${units} units: bring ${n(units * input.earned)}, cost ${n(input.fixed + units * middle)} ${outcome.currency}; ${n(left(middle))} stay (${n(left(high))} to ${n(left(low))})`;
      }}
      csv={() => [
        ['units', `brings_${outcome.currency}`, 'costs_low', 'costs', 'costs_high'],
        ...Array.from({ length: widest + 1 }, (_, u) => [
          u,
          u * input.earned,
          input.fixed + u * input.cost.low,
          input.fixed + u * input.cost.middle,
          input.fixed + u * input.cost.high,
        ]),
      ]}
    />
  );
}

/** @param elsewhere notes that stand elsewhere on the page */
export function Next({ outcome, elsewhere }: { readonly outcome: NextOutcome; readonly elsewhere: readonly string[] }) {
  const { profit, currency } = outcome;
  const input = profitPictureOf(outcome);
  const bars = profitBars(input.quantiles);
  const written = figures.value;
  const rows: readonly (readonly [string, string])[] = [
    ['asked for in a month', format.value.figure(outcome.perMonth, 3)],
    [`demand, ${format.value.figure(outcome.ahead_months, 3)} months ahead`, span(outcome.demand)],
    ['best stock', String(outcome.stock)],
    ['in hand', String(outcome.inHand)],
    ['waited for', String(outcome.waited)],
    ['begin now', String(outcome.begin)],
    [`begin to be ${format.value.percent(outcome.service)} sure of enough`, String(outcome.beginSure)],
    ['begin the next at', String(outcome.reorderPoint)],
    ['chance of a loss', format.value.percent(profit.lossChance)],
  ];
  const table = (
    <DataTable
      caption="The next batch"
      file={`${outcome.name} next batch`}
      columns={[
        { key: 'what', head: 'next batch' },
        { key: 'n', head: 'value', figures: true },
      ]}
      rows={rows.map(([what, value]) => ({ key: what, cells: [what, value] }))}
      csv={() => [['what', 'value'], ...rows]}
    />
  );
  const notes = <Notes list={outcome.notes.filter((note) => !elsewhere.includes(note))} />;
  if (outcome.begin === 0)
    return (
      <section aria-labelledby="next-h">
        <h2 id="next-h">How many next</h2>
        <p class="said">{outcome.verdict}</p>
        {table}
        {notes}
      </section>
    );
  return (
    <Picture
      id="next"
      heading="How many next"
      said={outcome.verdict}
      name={outcome.name}
      draw={(o) => profitChart(input, o)}
      stops={() => bars.map((_, i) => ({ x: (i + 0.5) / bars.length, y: null }))}
      readout={({ stop }) => {
        const bar = bars[stop ?? 0];
        return stop === undefined || bar === undefined
          ? ''
          : `${written.number(bar.from)} to ${written.number(bar.to)} ${currency}: chance ${written.percent(bar.share)}`;
      }}
      csv={() => [['chance', `profit_${currency}`], ...input.quantiles.map((q, i) => [i / 100, q])]}
    >
      {table}
      {notes}
    </Picture>
  );
}

const span = ({ low, high }: { readonly low: number; readonly high: number }) => `${low} to ${high}`;
