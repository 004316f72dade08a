/** How well the batch passes: yields with intervals, failures, control chart and capability of a gate. */
import { useState } from 'preact/hooks';
import type { GateChart } from '../../../app/bench/gate-chart.ts';
import type { QualityOutcome } from '../../../app/bench/quality.ts';
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
  // Most yields are close to one: the axis begins below the lowest end of an interval.
  const least = Math.min(...tried.map((g) => g.firstPass!.low));
  const floor = AXES.findLast((at) => at <= least) ?? 0;
  const decimals = floor >= 0.99 ? 2 : floor >= 0.9 ? 1 : 0;
  const percent = (share: number) => format.value.percent(share, decimals);
  return (
    <>
      <p class="said">{quality.verdict}</p>
      {quality.few === null ? null : <p>{quality.few}</p>}
      {tried.length === 0 ? null : (
        <DataTable
          caption={`${rolled === null ? 'First' : `Rolled yield ${format.value.percent(rolled)}; first`}-pass yield by gate, drawn over ${Math.round(100 * floor)} to 100 %`}
          file={`${name} yields`}
          columns={[
            { key: 'gate', head: 'gate' },
            { key: 'share', head: 'yield', figures: true },
            { key: 'range', head: 'interval of 95 %' },
            { key: 'first', head: 'at once', figures: true },
            { key: 'final', head: 'in the end', figures: true },
          ]}
          rows={tried.map((g) => ({
            key: g.gate,
            cells: [
              g.name,
              percent(g.firstPass!.mean),
              <Whisker
                key="w"
                {...g.firstPass!}
                said={`${percent(g.firstPass!.low).replace(/\s?%$/, '')} to ${percent(g.firstPass!.high)}`}
                from={floor}
                to={1}
              />,
              `${g.passedFirst} of ${g.measured}`,
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
      {quality.returns.share === null ? null : (
        <p>
          {quality.returns.returned} of {quality.returns.shipped} shipped came back,{' '}
          {format.value.percent(quality.returns.share.mean)} ({format.value.percent(quality.returns.share.low)} to{' '}
          {format.value.percent(quality.returns.share.high)})
          {quality.returns.causes.length === 0
            ? ''
            : `: ${quality.returns.causes.map((c) => `${c.cause} ${c.count}`).join(', ')}`}
          .
        </p>
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
          rows={causesOf(failures).map((f) => ({
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

/** Where the axis of yields may begin. */
const AXES = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99];
/** Causes that are shown one by one; the rest stand in one row. */
const MOST_CAUSES = 12;

/** The causes that matter, and the many small ones together. */
function causesOf(failures: QualityOutcome['failures']): QualityOutcome['failures'] {
  if (failures.length <= MOST_CAUSES + 1) return failures;
  const rest = failures.slice(MOST_CAUSES);
  const sum = (of: 'count' | 'share') => rest.reduce((total, f) => total + f[of], 0);
  const others = { gate: 'others', name: `${rest.length} others`, cumulative: 1 };
  return [...failures.slice(0, MOST_CAUSES), { ...others, count: sum('count'), share: sum('share') }];
}

/** A figure with its interval, drawn from one end of an axis to the other, and in words. */
function Whisker(props: {
  readonly mean: number;
  readonly low: number;
  readonly high: number;
  readonly from: number;
  readonly to: number;
  readonly said: string;
}) {
  const { from, to, said } = props;
  const x = (value: number) => (70 * (Math.min(to, Math.max(from, value)) - from)) / (to - from);
  const [mean, low, high] = [x(props.mean), x(props.low), x(props.high)];
  return (
    <span class="whisker" style={{ verticalAlign: 'middle' }}>
      <svg width="76" height="16" viewBox="-3 0 76 16" aria-hidden="true">
        <path d="M0 8H70M0 5V11M70 5V11" stroke="var(--hairline)" />
        <path d={`M${low} 8H${high}M${low} 4V12M${high} 4V12`} stroke="currentColor" stroke-width="1.5" />
        <circle cx={mean} cy="8" r="3.5" fill="var(--lake)" />
      </svg>{' '}
      {said}
    </span>
  );
}

function Bar({ share }: { readonly share: number }) {
  const said = format.value.percent(share);
  return (
    <span class="whisker">
      <svg width="80" height="14" viewBox="0 0 80 14" aria-hidden="true">
        <rect x="0" y="2" width={Math.max(1, share * 80)} height="10" fill="var(--dusk)" />
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
  // One with a value outside its limits goes before those that are well.
  const [chosen, setChosen] = useState<string | null>(null);
  const first = charts.find((c) => c.beyondChance) ?? charts[0];
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
                {c.beyondChance ? ', outside its limits' : ''}
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
      Capability from {values.length} values, drawn over 0 to 2: Cpk {two(c.cpk)}{' '}
      <Whisker
        {...{ mean: c.cpk, low: c.cpkLow, high: c.cpkHigh, from: 0, to: 2 }}
        said={`${two(c.cpkLow)} to ${two(c.cpkHigh)}`}
      />
      {c.cp === null ? '' : `, Cp ${two(c.cp)}`}, Ppk {two(c.ppk)}; if the values follow the normal law,{' '}
      {format.value.percent(c.shareOutside, 2)} lie outside the limits of the gate.
    </p>
  );
}
