import { type Command, InvalidArgumentError } from 'commander';
import type { SweepBatchOutcome, SweepOutcome, SweepResult } from '../../app/sweep.ts';
import { number, withExample, withJson } from '../options.ts';
import { checkOutputs } from '../outputs.ts';
import { say, sayJson, table } from '../print.ts';
import { sayAssumptions, sayFolded, sayNotes } from '../tail.ts';
import { withPorts } from '../wiring.ts';

interface SweepOptions {
  readonly marker?: number[];
  readonly limitVswr?: number;
  readonly band?: { from_MHz: number; to_MHz: number };
  readonly region?: string;
  readonly svg?: string;
  readonly json?: boolean;
}

const frequencies = (text: string, before: number[] | undefined) => [...(before ?? []), number(text)];

/** `863-870`, in MHz. */
function band(text: string): { from_MHz: number; to_MHz: number } {
  const found = /^\s*([\d.]+)\s*(?:-|–|to)\s*([\d.]+)\s*$/.exec(text);
  if (found === null) throw new InvalidArgumentError(`'${text}' is no band: write it like 863-870.`);
  return { from_MHz: number(found[1]!), to_MHz: number(found[2]!) };
}

export function registerSweep(program: Command): void {
  const command = program
    .command('sweep')
    .summary('how well antennas are matched, from measured sweeps')
    .description(
      'Standing-wave ratio, return loss and usable band from Touchstone one-port files; several are compared.',
    )
    .argument('<files...>', 'Touchstone files of one port (.s1p), version 1.1 or 2.0')
    .option('--marker <MHz>', 'tells the match at this frequency, MHz; may be repeated', frequencies)
    .option('--limit-vswr <ratio>', 'standing-wave ratio that still serves (default 2)', number)
    .option('--band <from-to>', 'band that the antenna must serve, MHz, like 863-870', band)
    .option('--region <name>', "the band of a region's rules instead: US, EU, UK, AU, NZ, JP or IN")
    .option('--svg <file>', 'also draws ratio and return loss against frequency');
  withExample(
    withJson(command),
    'sunperch sweep antenna.s1p --marker 868 --marker 915',
    'sunperch sweep batch/*.s1p --region EU --svg out/batch.svg',
  );
  command.action(async (files: string[], options: SweepOptions) => {
    await checkOutputs({ '--svg': options.svg });
    await withPorts(async (ports) => {
      const { sweep } = await import('../../app/sweep.ts');
      const { outcome, picture } = await sweep(ports, {
        files,
        markers_MHz: options.marker,
        limitVswr: options.limitVswr,
        band_MHz: options.band,
        region: options.region,
      });
      if (options.svg !== undefined) {
        const { sweepChart } = await import('../../report/index.ts');
        const { writeWhole } = await import('../../host/files.ts');
        await writeWhole(options.svg, sweepChart(picture));
      }
      if (options.json) sayJson(outcome);
      else if ('sweeps' in outcome) printBatch(outcome);
      else printOne(outcome);
      if (options.svg !== undefined && !options.json) say(`\nPicture: ${options.svg}`);
    });
  });
}

const ratio = (value: number) => (Number.isFinite(value) ? value.toFixed(3) : 'infinite');
const dB = (value: number) => (Number.isFinite(value) ? value.toFixed(3) : 'infinite');
const MHz = (value: number) => String(Math.round(value * 1e6) / 1e6);

function markerRows(results: readonly SweepResult[]): string[][] {
  return results.flatMap((r) =>
    r.markers.map((m) => [
      ...(results.length > 1 ? [r.file] : []),
      MHz(m.frequency_MHz),
      ratio(m.vswr),
      dB(m.returnLoss_dB),
      dB(m.mismatchLoss_dB),
    ]),
  );
}

const MARKER_TITLES = ['marker MHz', 'ratio', 'return loss dB', 'mismatch loss dB'];

function printOne(o: SweepOutcome): void {
  sayFolded(o.verdict);
  say();
  say(`${o.points} points from ${MHz(o.from_MHz)} to ${MHz(o.to_MHz)} MHz, against ${o.reference_Ohm} Ω`);
  if (o.markers.length > 0) {
    say();
    for (const line of table(MARKER_TITLES, markerRows([o]))) say(line);
  }
  if (o.band)
    say(
      `\nMean mismatch loss over the band: ${dB(o.band.meanMismatchLoss_dB)} dB; at worst ${dB(o.band.worstMismatchLoss_dB)} dB.`,
    );
  sayNotes(o.notes, 'About the file');
  sayAssumptions(o.assumptions);
}

function printBatch(o: SweepBatchOutcome): void {
  sayFolded(o.verdict);
  say();
  for (const line of table(
    ['file', 'best MHz', 'ratio there', 'worst in band', 'at MHz', 'mean loss dB', 'usable MHz', ''],
    o.sweeps.map((s) => [
      s.file,
      MHz(s.atMinVswr_MHz),
      ratio(s.minVswr),
      ratio(s.band!.worstVswr),
      MHz(s.band!.worstAt_MHz),
      dB(s.band!.meanMismatchLoss_dB),
      s.usable === null ? 'none' : `${MHz(s.usable.from_MHz)}–${MHz(s.usable.to_MHz)}`,
      [s.file === o.worst ? 'worst' : '', s.outlier ? 'stands out' : ''].filter((t) => t !== '').join(', '),
    ]),
    [0, 7],
  ))
    say(line);
  const rows = markerRows(o.sweeps);
  if (rows.length > 0) {
    say();
    for (const line of table(['file', ...MARKER_TITLES], rows)) say(line);
  }
  sayNotes(
    o.sweeps.flatMap((s) => s.notes.map((note) => `${s.file}: ${note}`)),
    'About the files',
  );
  sayAssumptions(o.assumptions);
}
