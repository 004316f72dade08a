/** Sweeps that were dropped, read and judged by the same code as `sunperch sweep`; what cannot be read is told beside the rest. */
import type { Ports } from '../../../app/ports.ts';
import { type SweepBatchOutcome, type SweepOutcome, type SweepResult, sweep } from '../../../app/sweep.ts';
import { gammaOfVswr, type Marker, mismatchLoss_dB } from '../../../core/antenna/index.ts';
import { limitsOf, REGIONS } from '../../../core/path/index.ts';
import { type Problem, UserError } from '../../../core/units/index.ts';
import { readTouchstone } from '../../../formats/touchstone.ts';
import type { Figures, SweepPicture } from '../../../report/index.ts';
import { parseNumber } from '../../display/numbers.ts';
import type { CsvRows } from '../../parts/csv.ts';

export interface SweepFile {
  readonly name: string;
  readonly text: string;
}

export interface SweepSettings {
  readonly region: string;
  readonly markers_MHz: readonly number[];
  readonly limitVswr: number;
}

export interface SweepRow extends SweepResult {
  /** Null with a single sweep. */
  readonly outlier: boolean | null;
  /** Over the band; null without one. */
  readonly keepsLimit: boolean | null;
}

export interface Judged {
  readonly verdict: string;
  readonly rows: readonly SweepRow[];
  readonly batch: SweepBatchOutcome | null;
  readonly picture: SweepPicture;
}

const none = () => Promise.reject(new Error('not there in the browser'));

/** Files of one name from several folders are told apart. */
export function distinct(files: readonly SweepFile[]): SweepFile[] {
  const seen = new Map<string, number>();
  return files.map(({ name, text }) => {
    const n = (seen.get(name) ?? 0) + 1;
    seen.set(name, n);
    return { name: n === 1 ? name : `${name} (${n})`, text };
  });
}

/** A problem with the file and line that it is about. */
function placed(problem: Problem): Problem {
  const { file, line } = problem.place ?? {};
  if (file === undefined || problem.message.includes(file)) return problem;
  return { ...problem, message: `${file}${line === undefined ? '' : `, line ${line}`}: ${problem.message}` };
}

const problemsIn = (error: unknown): readonly Problem[] => {
  if (error instanceof UserError) return error.problems.map(placed);
  throw error;
};

/** Judges what can be read; null with nothing to judge. */
export async function judge(
  given: readonly SweepFile[],
  settings: SweepSettings,
): Promise<{ readonly judged: Judged | null; readonly problems: readonly Problem[] }> {
  const problems: Problem[] = [];
  const good = new Map<string, SweepFile & { readonly low: number; readonly high: number }>();
  for (const file of distinct(given)) {
    try {
      const { frequency_MHz } = readTouchstone(file.text, file.name).sweep;
      good.set(file.name, { ...file, low: frequency_MHz[0]!, high: frequency_MHz[frequency_MHz.length - 1]! });
    } catch (error) {
      problems.push(...problemsIn(error));
    }
  }
  if (good.size === 0) return { judged: null, problems };
  const files = [...good.values()];
  const outside = (from: number, to: number) => files.filter((f) => from < f.low || to > f.high);
  const runs = (f: { name: string; low: number; high: number }) => `${f.name} runs from ${f.low} to ${f.high} MHz`;
  const markers_MHz = settings.markers_MHz.filter((m) => {
    const away = outside(m, m);
    if (away.length > 0)
      problems.push({
        code: 'sweep.marker',
        message: `The marker at ${m} MHz is left out: ${away.map(runs).join('; ')}.`,
      });
    return away.length === 0;
  });
  const band = bandOf(settings.region);
  const short = band === undefined ? [] : outside(band.from_MHz, band.to_MHz);
  if (short.length > 0)
    problems.push({
      code: 'sweep.band',
      message: `The band of ${settings.region}, ${band!.from_MHz} to ${band!.to_MHz} MHz, is not judged: ${short.map(runs).join('; ')}. Sweep the antenna over all of it.`,
    });
  const ports: Ports = {
    readText: async (name) => good.get(name)!.text,
    readWeather: none,
    runTasks: none,
    progress: () => undefined,
  };
  const request = {
    files: files.map((f) => f.name),
    markers_MHz,
    limitVswr: settings.limitVswr,
    ...(band !== undefined && short.length === 0 ? { band_MHz: band } : {}),
  };
  try {
    const { outcome, picture } = await sweep(ports, request);
    return { judged: judgedOf(outcome, picture), problems };
  } catch (error) {
    return { judged: null, problems: [...problems, ...problemsIn(error)] };
  }
}

function judgedOf(outcome: SweepOutcome | SweepBatchOutcome, picture: SweepPicture): Judged {
  const { verdict } = outcome;
  if ('sweeps' in outcome) return { verdict, rows: outcome.sweeps, batch: outcome, picture };
  const keepsLimit = outcome.band === null ? null : outcome.band.worstVswr <= picture.limitVswr;
  return { verdict, rows: [{ ...outcome, outlier: null, keepsLimit }], batch: null, picture };
}

/** From the lowest to the highest frequency of a region's rules; undefined without a region. */
export function bandOf(region: string): { readonly from_MHz: number; readonly to_MHz: number } | undefined {
  if (!REGIONS.some((r) => r === region)) return undefined;
  const rules = limitsOf(region);
  return { from_MHz: Math.min(...rules.map((r) => r.from_MHz)), to_MHz: Math.max(...rules.map((r) => r.to_MHz)) };
}

/** `868.3; 915` as numbers, or what is wrong with it. */
export function markersOf(text: string, decimal: '.' | ','): readonly number[] | Problem {
  const parts = text
    .split(decimal === ',' ? /[;\s]+/ : /[;,\s]+/)
    .map((part) => part.trim())
    .filter((part) => part !== '');
  const values = parts.map((part) => parseNumber(part, decimal));
  const bad = values.findIndex((v) => v === undefined || !(v > 0));
  if (bad >= 0)
    return {
      code: 'sweep.markers',
      message: `"${parts[bad]!.slice(0, 20)}" is no frequency: wanted are MHz, e.g. 868.3 915`,
    };
  if (values.length > 8)
    return { code: 'sweep.markers', message: `There are ${values.length} markers: at most eight are told` };
  return values as number[];
}

const ratio = (value: number, figures: Figures) => (Number.isFinite(value) ? figures.number(value, 2) : 'infinite');
/** As many decimals as it needs, at most three. */
const MHz = (value: number, figures: Figures) =>
  figures.number(value, (String(Number(value.toFixed(3))).split('.')[1] ?? '').length);

/** State of an antenna, by word and shape. */
export function stateOf({ outlier, keepsLimit, usable }: SweepRow): string {
  if (outlier === true) return 'out of the ordinary ◐';
  if (keepsLimit ?? usable !== null) return 'within the limit ●';
  return 'beyond the limit ○';
}

export function cellsOf(row: SweepRow, figures: Figures): string[] {
  const { usable, band } = row;
  return [
    row.file,
    stateOf(row),
    ratio(row.minVswr, figures),
    MHz(row.atMinVswr_MHz, figures),
    usable === null ? 'nowhere' : `${MHz(usable.from_MHz, figures)}–${MHz(usable.to_MHz, figures)}`,
    ...(band === null ? ['–', '–'] : [ratio(band.worstVswr, figures), figures.number(band.worstMismatchLoss_dB, 2)]),
  ];
}

export const markerCells = (file: string, m: Marker, figures: Figures): string[] => [
  file,
  MHz(m.frequency_MHz, figures),
  ratio(m.vswr, figures),
  Number.isFinite(m.returnLoss_dB) ? figures.number(m.returnLoss_dB, 1) : 'infinite',
  figures.number(m.mismatchLoss_dB, 2),
];

/** Value of a curve between its points; NaN outside. */
function along(frequency_MHz: ArrayLike<number>, values: ArrayLike<number>, f: number): number {
  for (let i = 1; i < frequency_MHz.length; i++) {
    const [a, b] = [frequency_MHz[i - 1]!, frequency_MHz[i]!];
    if (f >= a && f <= b) return values[i - 1]! + ((f - a) / (b - a)) * (values[i]! - values[i - 1]!);
  }
  return Number.NaN;
}

/** Lowest and highest frequency of the picture. */
export function spanOf({ sweeps }: SweepPicture): { readonly low: number; readonly high: number } {
  const ends = sweeps.flatMap(({ frequency_MHz: f }) => [f[0]!, f[f.length - 1]!]);
  return { low: Math.min(...ends), high: Math.max(...ends) };
}

/** What the picture shows at a share 0..1 of its width. */
export function sweepReadout(picture: SweepPicture, share: number, figures: Figures): string {
  const { low, high } = spanOf(picture);
  const f = low + share * (high - low);
  const there = picture.sweeps
    .map(({ name, frequency_MHz, vswr }) => ({ name, vswr: along(frequency_MHz, vswr, f) }))
    .filter((s) => !Number.isNaN(s.vswr))
    .sort((a, b) => a.vswr - b.vswr);
  const at = `${figures.number(f, 1)} MHz`;
  const [least] = there;
  const most = there.at(-1);
  if (least === undefined || most === undefined) return `${at}: not swept`;
  const gamma = gammaOfVswr(most.vswr);
  if (there.length === 1)
    return `${at}: standing-wave ratio ${ratio(most.vswr, figures)}, return loss ${figures.number(-20 * Math.log10(gamma), 1)} dB, ${figures.number(mismatchLoss_dB(gamma), 2)} dB lost`;
  const middle = there[Math.floor((there.length - 1) / 2)]!;
  return `${at}: standing-wave ratio from ${ratio(least.vswr, figures)} (${least.name}) to ${ratio(most.vswr, figures)} (${most.name}), in the middle ${ratio(middle.vswr, figures)}`;
}

export const sweepCsv = (picture: SweepPicture): CsvRows => [
  ['file', 'frequency_MHz', 'vswr', 'returnLoss_dB'],
  ...picture.sweeps.flatMap(({ name, frequency_MHz, vswr, returnLoss_dB }) =>
    Array.from(frequency_MHz, (f, i) => [name, f, vswr[i]!, returnLoss_dB[i]!]),
  ),
];

/** How far a batch lies apart in the middle of its band, in a sentence. */
export function spreadSentence({ spread, worst }: SweepBatchOutcome, figures: Figures): string {
  const widest = spread.reduce((a, b) => (b.highVswr - b.lowVswr > a.highVswr - a.lowVswr ? b : a));
  if (widest.highVswr - widest.lowVswr < 0.005) return 'They do not differ over the band.';
  return `They lie furthest apart at ${MHz(widest.frequency_MHz, figures)} MHz, from ${ratio(widest.lowVswr, figures)} to ${ratio(widest.highVswr, figures)}, half of them below ${ratio(widest.medianVswr, figures)}. The worst in the band is ${worst}.`;
}

/** Highest standing-wave ratio that a kit may name. */
const HIGHEST_VSWR = 50;

/** Settings that put a measured ratio at the carrier into a kit, or why that cannot be. */
export function kitSettings(
  kit: { readonly antenna?: { readonly sweep?: string | undefined } | undefined },
  marker: Marker,
): { readonly settings: readonly string[]; readonly note: string } | string {
  if (!(marker.vswr <= HIGHEST_VSWR))
    return `At ${marker.frequency_MHz} MHz the ratio is above ${HIGHEST_VSWR}: that is no antenna for this kit.`;
  const { antenna } = kit;
  const vswr = Math.max(1, Number(marker.vswr.toPrecision(3)));
  return {
    settings: [
      ...(antenna === undefined ? ['kit.antenna.gain_dBi=2'] : []),
      ...(antenna?.sweep === undefined ? [] : ['kit.antenna.sweep=null']),
      `kit.antenna.vswr=${vswr}`,
    ],
    note: [
      `standing-wave ratio ${vswr} at ${marker.frequency_MHz} MHz, ${marker.mismatchLoss_dB.toFixed(2)} dB lost`,
      ...(antenna === undefined ? ['a plain stick of 2 dBi is taken, for the kit named no antenna'] : []),
      ...(antenna?.sweep === undefined ? [] : [`in place of its sweep ${antenna.sweep}`]),
    ].join('; '),
  };
}
