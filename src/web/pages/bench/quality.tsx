/** How well the batch passes: yields with intervals, failures, control chart and capability of a gate. */
import { useState } from 'preact/hooks';
import type { GateChart, QualityOutcome } from '../../../app/bench/quality.ts';
import { type ControlChartInput, controlChart, controlChartSentence } from '../../../report/index.ts';
import { getQuality } from '../../api/bench.ts';
import { Picture } from '../../parts/picture.tsx';
import { Problems } from '../../parts/problems.tsx';
import { DataTable } from '../../parts/table.tsx';
import { go, unitOf } from '../../routes.ts';
import { figures, format } from '../../state/settings.ts';
import { useRead } from './use-read.ts';

export function Quality({ batch, name }: { readonly batch: string; readonly name: string }) {
  const { value, problems } = useRead(`quality ${batch}`, () => getQuality(batch));
  return (
    <section aria-labelledby="quality-h">
      <h2 id="quality-h">Quality</h2>
      <Problems list={problems} />
      {value === null ? <p class="said">Reading the measurements …</p> : <Known quality={value} name={name} />}
    </section>
  );
}

function Known({ quality, name }: { readonly quality: QualityOutcome; readonly name: string }) {
  const { gates, failures, charts, notes, rolled } = quality;
  const tried = gates.filter((g) => g.measured > 0);
  return (
    <>
      <p class="said">{quality.verdict}</p>
      {quality.few === null ? null : <p>{quality.few}</p>}
      {tried.length === 0 ? null : (
        <DataTable
          caption={`First-pass yield of each gate with its interval of 95 %${rolled === null ? '' : `; all together ${format.value.percent(rolled)}`}`}
          file={`${name} yields`}
          columns={[
            { key: 'gate', head: 'gate' },
            { key: 'n', head: 'measured', figures: true },
            { key: 'first', head: 'at once', figures: true },
            { key: 'share', head: 'share', figures: true },
            { key: 'range', head: '0 to 100 %' },
            { key: 'final', head: 'in the end', figures: true },
          ]}
          rows={tried.map((g) => ({
            key: g.gate,
            cells: [
              g.name,
              g.measured,
              g.passedFirst,
              format.value.percent(g.firstPass!.mean),
              <Whisker key="w" {...g.firstPass!} />,
              g.passedFinally,
            ],
          }))}
          csv={() => [
            ['gate', 'measured', 'passed_first', 'share', 'low', 'high', 'passed_finally'],
            ...tried.map((g) => [
              ...[g.gate, g.measured, g.passedFirst, g.firstPass!.mean, g.firstPass!.low, g.firstPass!.high],
              g.passedFinally,
            ]),
          ]}
        />
      )}
      {failures.length === 0 ? null : (
        <DataTable
          caption="Failures by gate, the most first"
          file={`${name} failures`}
          columns={[
            { key: 'gate', head: 'gate' },
            { key: 'count', head: 'failures', figures: true },
            { key: 'bar', head: 'share of all' },
            { key: 'upto', head: 'up to here', figures: true },
          ]}
          rows={failures.map((f) => ({
            key: f.gate,
            cells: [f.name, f.count, <Bar key="b" share={f.share} />, format.value.percent(f.cumulative)],
          }))}
          csv={() => [
            ['gate', 'failures', 'share', 'cumulative'],
            ...failures.map((f) => [f.gate, f.count, f.share, f.cumulative]),
          ]}
        />
      )}
      <Charts charts={charts} name={name} />
      {notes.length === 0 ? null : (
        <ul class="notes quiet">
          {notes.map((note) => (
            <li key={note}>{note}</li>
          ))}
        </ul>
      )}
    </>
  );
}

/** A share with its interval, drawn over 0 to 100 %. */
function Whisker({ mean, low, high }: { readonly mean: number; readonly low: number; readonly high: number }) {
  const said = `${format.value.percent(low)} to ${format.value.percent(high)}`;
  return (
    <span class="whisker" title={said}>
      <svg width="120" height="16" viewBox="-3 0 126 16" role="img" aria-label={said}>
        <path d="M0 8H120" stroke="var(--hairline)" />
        <path
          d={`M${low * 120} 8H${high * 120}M${low * 120} 4V12M${high * 120} 4V12`}
          stroke="currentColor"
          stroke-width="1.5"
        />
        <circle cx={mean * 120} cy="8" r="3.5" fill="var(--lake)" />
      </svg>
    </span>
  );
}

function Bar({ share }: { readonly share: number }) {
  const said = format.value.percent(share);
  return (
    <span class="whisker">
      <svg width="120" height="14" viewBox="0 0 120 14" aria-hidden="true">
        <rect x="0" y="2" width={Math.max(1, share * 120)} height="10" fill="var(--dusk)" />
      </svg>{' '}
      {said}
    </span>
  );
}

const RULES: Readonly<Record<string, string>> = {
  'one-beyond-3-sigma': 'beyond the limits',
  'nine-on-one-side': 'ninth in a row on one side',
  'six-rising-or-falling': 'sixth in a row rising or falling',
  'fourteen-alternating': 'fourteenth up and down in turn',
  'two-of-three-beyond-2-sigma': 'two of three far out on one side',
  'four-of-five-beyond-1-sigma': 'four of five off on one side',
  'fifteen-within-1-sigma': 'fifteenth in a row close to the centre',
  'eight-outside-1-sigma': 'eighth in a row away from the centre',
};

function Charts({ charts, name }: { readonly charts: readonly GateChart[]; readonly name: string }) {
  // One that is unsteady goes before those that are well.
  const [chosen, setChosen] = useState<string | null>(null);
  const first = charts.find((c) => c.signals.some((s) => s.rules.includes('one-beyond-3-sigma'))) ?? charts[0];
  const chart = charts.find((c) => c.gate === chosen) ?? first;
  if (chart === undefined) return null;
  const input: ControlChartInput = { ...chart, names: chart.serials };
  const told = new Map(chart.signals.map((s) => [s.index, s.rules.map((r) => RULES[r] ?? r).join('; ')]));
  const count = chart.values.length;
  const stops = () => chart.values.map((_, i) => ({ x: (i + 0.5) / count, y: null }));
  return (
    <>
      <p class="find">
        <label>
          gate{' '}
          <select value={chart.gate} onChange={(event) => setChosen(event.currentTarget.value)}>
            {charts.map((c) => (
              <option key={c.gate} value={c.gate}>
                {c.name}
                {c.signals.length > 0 ? ', unsteady' : ''}
              </option>
            ))}
          </select>
        </label>
      </p>
      <Picture
        id="control-chart"
        level={3}
        heading={`Control chart: ${chart.name}`}
        said={controlChartSentence(input, figures.value)}
        name={name}
        most={752}
        least={320}
        draw={(o) => controlChart(input, o)}
        stops={stops}
        readout={({ stop }) =>
          stop === undefined
            ? ''
            : `${chart.serials[stop]}: ${figures.value.figures(chart.values[stop]!)} ${chart.unit}${told.has(stop) ? `, ${told.get(stop)}` : ''}`
        }
        onPick={({ stop }) => stop !== undefined && go(unitOf(chart.serials[stop]!))}
        csv={() => [
          ['serial', 'value', 'signals'],
          ...chart.values.map((v, i) => [chart.serials[i]!, v, told.get(i) ?? '']),
        ]}
      >
        <Capable chart={chart} />
      </Picture>
    </>
  );
}

function Capable({ chart: { capability: c, values } }: { readonly chart: GateChart }) {
  if (c === null) return <p class="quiet">All values are alike: nothing is said of capability.</p>;
  const two = (v: number) => format.value.fixed(v, 2);
  return (
    <p class="quiet">
      Capability from {values.length} values: Cpk {two(c.cpk)} ({two(c.cpkLow)} to {two(c.cpkHigh)})
      {c.cp === null ? '' : `, Cp ${two(c.cp)}`}, Ppk {two(c.ppk)}; if the values follow the normal law,{' '}
      {format.value.percent(c.shareOutside, 2)} lie outside the limits of the gate.
    </p>
  );
}
