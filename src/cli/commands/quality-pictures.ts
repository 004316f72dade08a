/** Outcomes of charts and sampling plans as pictures. */
import type { ChartOutcome } from '../../app/bench/chart-file.ts';
import { acceptanceAt, type SamplingOutcome } from '../../app/bench/sampling-look.ts';
import { controlChart, operatingChart, trendChart } from '../../report/index.ts';

const again = (value: number, count: number): number[] => new Array<number>(count).fill(value);

export function drawChart(outcome: ChartOutcome): string {
  const { kind, column, chart, ranges, signals, capability, verdict: said, outside } = outcome;
  const count = chart.values.length;
  if (ranges !== null)
    return controlChart({
      name: column,
      unit: '',
      names: chart.values.map((_, i) => String(i + 1)),
      ...chart,
      movingRange: ranges,
      ...(kind === 'xbar-range' ? { rangesOf: 'samples' as const } : {}),
      low: kind === 'individuals' ? (capability?.lower ?? null) : null,
      high: kind === 'individuals' ? (capability?.upper ?? null) : null,
      limitsOf: 'limit',
      signals: signals.map(({ to }) => ({ index: to - 1 })),
    });
  const common = { title: `${column}: ${kind}`, outside, said };
  if (outcome.cusum !== null) {
    const { high, low, limit } = outcome.cusum;
    return trendChart({
      ...common,
      axis: `cumulative sum of ${column}`,
      rows: [
        { name: 'above', values: high },
        { name: 'below', values: low.map((v) => (v === 0 ? 0 : -v)) },
      ],
      centre: { name: 'target', at: 0 },
      limits: [
        { name: 'limit', values: again(limit, count) },
        { name: 'limit', values: again(-limit, count) },
      ],
    });
  }
  const { lower, upper } = outcome.limits!;
  const share = kind === 'share';
  const scale = (list: readonly number[]) => (share ? list.map((v) => 100 * v) : list);
  return trendChart({
    ...common,
    axis: share ? `${column}, % of each sample` : `moving average of ${column}`,
    rows: [{ name: share ? 'share' : 'average', values: scale(chart.values) }],
    centre: { name: share ? 'mean share' : 'target', at: share ? 100 * chart.centre : chart.centre },
    limits: [
      { name: 'upper limit', values: scale(upper) },
      { name: 'lower limit', values: scale(lower) },
    ],
  });
}

export function drawSampling(outcome: SamplingOutcome): string {
  const { lot, sample, accept, accepted, law, curve } = outcome;
  const isolated = law === 'hypergeometric';
  const widest = Math.min(
    1,
    Math.max(1.6 * accepted.p10, ...curve.filter((p) => p.chance > 0.005).map((p) => p.share)),
  );
  const points = isolated ? Math.max(2, Math.round(widest * lot!)) : 160;
  return operatingChart({
    name: `${sample}${lot === null ? '' : ` of ${lot}`}, accepted with ${accept === 0 ? 'no defective one' : `at most ${accept} defective`}`,
    curve: Array.from({ length: points + 1 }, (_, i) =>
      acceptanceAt(outcome, isolated ? Math.min(1, i / lot!) : (widest * i) / points),
    ),
    dots: isolated,
    accepted,
  });
}
