/** How the quality of a batch and a gauge study are printed. */
import type { GaugeOutcome } from '../../app/bench/gauge.ts';
import type { QualityOutcome } from '../../app/bench/quality.ts';
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
      four(outcome[name]),
    ]),
  );
  sayNotes(outcome.notes, 'Notes');
}
