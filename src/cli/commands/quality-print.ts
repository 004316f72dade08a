/** How the quality of a batch and a gauge study are printed. */
import type { CapabilityLook, CapabilityOutcome } from '../../app/bench/capability-look.ts';
import type { ChartOutcome } from '../../app/bench/chart-file.ts';
import type { GaugeOutcome } from '../../app/bench/gauge.ts';
import type { LineOutcome } from '../../app/bench/line-file.ts';
import type { QualityOutcome } from '../../app/bench/quality.ts';
import type { RateOutcome } from '../../app/bench/rate.ts';
import type { SamplingOutcome } from '../../app/bench/sampling-look.ts';
import { say, table } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';

const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const four = (n: number | null) => (n === null ? '' : String(Number(n.toPrecision(4))));

function lines(titles: readonly string[], rows: readonly (readonly string[])[], left: readonly number[] = [0]): void {
  if (rows.length === 0) return;
  say();
  for (const line of table(titles, rows, left)) say(line);
}

export function sayQuality(outcome: QualityOutcome): void {
  sayFolded(outcome.verdict);
  if (outcome.few !== null) sayFolded(outcome.few);
  if (outcome.rolled !== null) say(`Rolled yield ${percent(outcome.rolled)}.`);
  lines(
    ['gate', 'measured', 'passed first', 'passed in the end', 'first-pass yield', '95 %'],
    outcome.gates
      .filter((g) => g.measured > 0)
      .map((g) => [
        `${g.gate}: ${g.name}`,
        ...[g.measured, g.passedFirst, g.passedFinally].map(String),
        g.firstPass === null ? '' : percent(g.firstPass.mean),
        g.firstPass === null ? '' : `${percent(g.firstPass.low)} to ${percent(g.firstPass.high)}`,
      ]),
  );
  const { returned, shipped, share, causes } = outcome.returns;
  if (share !== null)
    sayFolded(
      `${returned} of ${shipped} shipped came back, ${percent(share.mean)} (${percent(share.low)} to ${percent(share.high)})${causes.length === 0 ? '' : `: ${causes.map((c) => `${c.cause} ${c.count}`).join(', ')}`}.`,
    );
  lines(
    ['failures at', 'count', 'share', 'summed up'],
    outcome.failures
      .filter((f) => f.count > 0)
      .map((f) => [f.name, String(f.count), percent(f.share), percent(f.cumulative)]),
  );
  lines(
    ['chart', 'unit', 'centre', 'lower', 'upper', 'Cpk', '95 %', 'signals'],
    outcome.charts.map((c) => [
      c.name,
      c.unit,
      ...[c.centre, c.lower, c.upper].map(four),
      c.capability === null ? '' : c.capability.cpk.toFixed(2),
      c.capability === null ? '' : `${c.capability.cpkLow.toFixed(2)} to ${c.capability.cpkHigh.toFixed(2)}`,
      c.signals.map((s) => s.serial).join(', '),
    ]),
    [0, 1, 7],
  );
  sayNotes(outcome.notes, 'Notes');
}

export function sayGauge(outcome: GaugeOutcome): void {
  sayFolded(outcome.verdict);
  lines(
    ['spread', 'standard deviation'],
    (['repeatability', 'reproducibility', 'gauge', 'part', 'total'] as const).map((name) => [
      name,
      outcome[name] === null ? 'not known' : four(outcome[name]),
    ]),
  );
  sayNotes(outcome.notes, 'Notes');
}

const share = (v: number) => `${Number((100 * v).toPrecision(4))} %`;

export function saySampling(outcome: SamplingOutcome): void {
  sayFolded(outcome.verdict);
  const isolated = outcome.law === 'hypergeometric';
  lines(
    ['defective in the lot', ...(isolated ? ['units'] : []), 'accepted'],
    outcome.curve.map((p) => [share(p.share), ...(isolated ? [String(p.bad)] : []), share(p.chance)]),
  );
  const { accepted, acceptedBad } = outcome;
  lines(
    ['accepted with a chance of', ...(isolated ? ['units'] : []), 'defective'],
    (['p95', 'p50', 'p10'] as const).map((key) => [
      { p95: '95 %', p50: '50 %', p10: '10 %' }[key],
      ...(acceptedBad === null ? [] : [String(acceptedBad[key])]),
      share(accepted[key]),
    ]),
  );
  sayNotes(outcome.notes, 'Notes');
}

export function sayRate(outcome: RateOutcome): void {
  sayFolded(outcome.verdict);
  const { wilson, clopperPearson, withoutFailure, confidence } = outcome;
  lines(
    [`interval, ${share(confidence)}`, 'from', 'to'],
    [
      ['exact (Clopper-Pearson)', share(clopperPearson.low), share(clopperPearson.high)],
      ['score (Wilson)', share(wilson.low), share(wilson.high)],
      ['one-sided', share(0), share(outcome.atMost)],
    ],
  );
  lines(
    ['to show so many good ones', 'test without a failure'],
    withoutFailure.map((w) => [share(w.reliability), String(w.units)]),
  );
  sayNotes(outcome.notes, 'Notes');
}

function sayCapable(c: CapabilityLook): void {
  const two = (v: number | null) => (v === null ? '' : v.toFixed(3));
  const range = (r: { low: number; high: number } | null) => (r === null ? '' : `${two(r.low)} to ${two(r.high)}`);
  lines(
    ['capability', 'value', `interval, ${share(c.confidence)}`],
    [
      ['Cp', two(c.cp), range(c.cpInterval)],
      ['Cpk', two(c.cpk), range(c.cpkInterval)],
      ['Cpk at least', two(c.cpkAtLeast), ''],
      ['Cpu', two(c.cpu), ''],
      ['Cpl', two(c.cpl), ''],
      ['Cpm', two(c.cpm), ''],
      ['k, off centre', two(c.k), ''],
      ['Ppk', two(c.ppk), ''],
      ['outside, per million', four(c.outside_ppm), ''],
    ].filter(([, value]) => value !== ''),
  );
  if (c.accepted !== null)
    say(`Accepted inside ${[c.accepted.lower, c.accepted.upper].map((v) => v ?? 'no limit').join(' to ')}.`);
}

export function sayCapability(outcome: CapabilityOutcome): void {
  sayFolded(outcome.verdict);
  sayCapable(outcome);
  sayNotes(outcome.notes, 'Notes');
}

export function sayChart(outcome: ChartOutcome): void {
  sayFolded(outcome.verdict);
  const { chart, ranges, kind } = outcome;
  lines(
    ['chart', 'centre', 'lower', 'upper'],
    [
      ...(kind === 'cusum' ? [] : [[kind, ...[chart.centre, chart.lower, chart.upper].map(four)]]),
      ...(ranges === null ? [] : [['ranges', ...[ranges.centre, ranges.lower, ranges.upper].map(four)]]),
    ],
  );
  lines(
    ['values', 'figure'],
    [
      ['number', String(outcome.count)],
      ['mean', String(Number(outcome.mean.toPrecision(9)))],
      ['standard deviation', four(outcome.sd)],
      ['short-term, from ranges', four(outcome.sigma)],
      ['correlation with the next', four(outcome.lagOne)],
    ].filter(([, value]) => value !== ''),
  );
  lines(
    ['run', 'from', 'to'],
    outcome.signals.slice(0, 20).map((s) => [s.rule.replaceAll('-', ' '), String(s.from), String(s.to)]),
  );
  if (outcome.capability !== null) sayCapable(outcome.capability);
  sayNotes(outcome.notes, 'Notes');
}

export function sayLine(outcome: LineOutcome): void {
  sayFolded(outcome.verdict);
  lines(
    ['', 'estimate', 'standard error'],
    [
      ['at nought', four(outcome.intercept), four(outcome.interceptError)],
      ['slope', four(outcome.slope), four(outcome.slopeError)],
    ],
  );
  say();
  say(`${outcome.count} pairs; the line explains ${share(outcome.explained)} of the variance.`);
}
