import {
  type BandResult,
  type BatchComparison,
  bestMatch,
  compareSweeps,
  gammaAt,
  type Marker,
  markerAt,
  overBand,
  returnLoss_dB,
  type Sweep,
  usableBand,
  usableBands,
  vswr,
} from '../core/antenna/index.ts';
import type { Assumption } from '../core/energy/index.ts';
import { limitsOf } from '../core/path/index.ts';
import { type Problem, UserError, userError } from '../core/units/index.ts';
import { readTouchstone } from '../formats/touchstone.ts';
import type { SweepPicture } from '../report/index.ts';
import type { Ports } from './ports.ts';

export interface SweepRequest {
  readonly files: readonly string[];
  readonly markers_MHz?: readonly number[] | undefined;
  readonly limitVswr?: number | undefined;
  readonly band_MHz?: { readonly from_MHz: number; readonly to_MHz: number } | undefined;
  /** Takes the band of a region's rules. */
  readonly region?: string | undefined;
}

/** What one sweep says. Infinite values (a perfect match, a total reflection) are null in JSON. */
export interface SweepResult {
  readonly file: string;
  readonly points: number;
  readonly from_MHz: number;
  readonly to_MHz: number;
  readonly reference_Ohm: number;
  readonly minVswr: number;
  readonly atMinVswr_MHz: number;
  readonly markers: readonly Marker[];
  /** The range around the best match that keeps the limit; null where not even that does. */
  readonly usable: { readonly from_MHz: number; readonly to_MHz: number; readonly limitVswr: number } | null;
  /** Number of separate ranges that keep the limit. */
  readonly usableRanges: number;
  /** Over the band asked for; null without one. */
  readonly band: BandResult | null;
  readonly notes: readonly string[];
}

export interface SweepOutcome extends SweepResult {
  readonly command: 'sweep';
  readonly verdict: string;
  readonly assumptions: readonly Assumption[];
}

export interface SweepBatchOutcome {
  readonly command: 'sweep';
  readonly verdict: string;
  readonly limitVswr: number;
  readonly from_MHz: number;
  readonly to_MHz: number;
  readonly sweeps: readonly (SweepResult & {
    readonly outlier: boolean;
    readonly resonanceScore: number | null;
    readonly lossScore: number | null;
    /** Whether the limit is kept all over the band. */
    readonly keepsLimit: boolean;
  })[];
  readonly worst: string;
  readonly outliers: readonly string[];
  readonly spread: BatchComparison['spread'];
  readonly assumptions: readonly Assumption[];
}

const USUAL_LIMIT = 2;

interface Read {
  readonly file: string;
  readonly sweep: Sweep;
  readonly notes: readonly string[];
}

/**
 * `sunperch sweep`: how well one antenna is matched, at markers and over a band; of several, which stand out.
 *
 * Definitions of transmission-line theory (core/antenna). Throws UserError with the faults of all files at once, for a marker or band outside a
 * sweep, and for an unknown region.
 */
export async function sweep(
  ports: Ports,
  request: SweepRequest,
): Promise<{ readonly outcome: SweepOutcome | SweepBatchOutcome; readonly picture: SweepPicture }> {
  const limitVswr = request.limitVswr ?? USUAL_LIMIT;
  const assumptions: Assumption[] =
    request.limitVswr === undefined ? [{ field: '--limit-vswr', value: '2', why: 'common practice' }] : [];
  const read = await readAll(ports, request.files);
  const asked = bandOf(request);
  const markers_MHz = request.markers_MHz ?? [];
  const results = read.map((one) => resultOf(one, markers_MHz, limitVswr, asked));
  const picture: SweepPicture = {
    sweeps: read.map(({ file, sweep: s }) => ({
      name: file,
      frequency_MHz: s.frequency_MHz,
      vswr: Float64Array.from(s.frequency_MHz, (_, i) => vswr(gammaAt(s, i))),
      returnLoss_dB: Float64Array.from(s.frequency_MHz, (_, i) => returnLoss_dB(gammaAt(s, i))),
    })),
    markers: markers_MHz.map((frequency_MHz) => ({ frequency_MHz })),
    limitVswr,
    band: asked ?? null,
  };
  if (read.length === 1) {
    const only = results[0]!;
    return { outcome: { command: 'sweep', verdict: verdictOfOne(only), ...only, assumptions }, picture };
  }
  const band = asked ?? sharedRange(read);
  if (asked === undefined)
    assumptions.push({
      field: '--band',
      value: `${band.from_MHz}-${band.to_MHz} MHz`,
      why: 'the range that all sweeps share; name the band that the antennas must serve',
    });
  const found = compareSweeps(
    read.map((one) => one.sweep),
    band.from_MHz,
    band.to_MHz,
  );
  const sweeps = results.map((result, i) => {
    const mine = found.sweeps[i]!;
    return {
      ...result,
      band: result.band ?? overBand(read[i]!.sweep, band.from_MHz, band.to_MHz),
      outlier: mine.outlier,
      resonanceScore: mine.resonanceScore ?? null,
      lossScore: mine.lossScore ?? null,
      keepsLimit: mine.worstVswr <= limitVswr,
    };
  });
  const names = found.outliers.map((i) => read[i]!.file);
  return {
    outcome: {
      command: 'sweep',
      verdict: verdictOfBatch(sweeps, names, limitVswr, band),
      limitVswr,
      ...band,
      sweeps,
      worst: read[found.worst]!.file,
      outliers: names,
      spread: found.spread,
      assumptions,
    },
    picture: { ...picture, band, outliers: names },
  };
}

/** Reads every file; what is wrong with any of them is told together. */
async function readAll(ports: Ports, files: readonly string[]): Promise<Read[]> {
  const settled = await Promise.allSettled(
    files.map(async (file): Promise<Read> => {
      const { sweep: s, notes } = readTouchstone(await ports.readText(file), file);
      return { file, sweep: s, notes };
    }),
  );
  const problems: Problem[] = [];
  const read: Read[] = [];
  for (const one of settled) {
    if (one.status === 'fulfilled') read.push(one.value);
    else if (one.reason instanceof UserError) problems.push(...one.reason.problems);
    else throw one.reason;
  }
  if (problems.length > 0) throw new UserError(problems);
  return read;
}

function bandOf(request: SweepRequest): { from_MHz: number; to_MHz: number } | undefined {
  const { band_MHz, region } = request;
  if (band_MHz !== undefined && region !== undefined)
    throw userError('sweep.band', 'both --band and --region are given: each names the band, keep one', {
      field: '--region',
    });
  if (region === undefined) return band_MHz;
  const rules = limitsOf(region);
  return {
    from_MHz: Math.min(...rules.map((rule) => rule.from_MHz)),
    to_MHz: Math.max(...rules.map((rule) => rule.to_MHz)),
  };
}

function resultOf(
  { file, sweep: s, notes }: Read,
  markers_MHz: readonly number[],
  limitVswr: number,
  band: { from_MHz: number; to_MHz: number } | undefined,
): SweepResult {
  const best = bestMatch(s);
  return {
    file,
    points: s.frequency_MHz.length,
    from_MHz: s.frequency_MHz[0]!,
    to_MHz: s.frequency_MHz[s.frequency_MHz.length - 1]!,
    reference_Ohm: s.reference_Ohm,
    minVswr: best.vswr,
    atMinVswr_MHz: best.frequency_MHz,
    markers: markers_MHz.map((f) => markerAt(s, f)),
    usable: usableBand(s, limitVswr) ?? null,
    usableRanges: usableBands(s, limitVswr).length,
    band: band === undefined ? null : overBand(s, band.from_MHz, band.to_MHz),
    notes,
  };
}

function sharedRange(read: readonly Read[]): { from_MHz: number; to_MHz: number } {
  const from_MHz = Math.max(...read.map((r) => r.sweep.frequency_MHz[0]!));
  const to_MHz = Math.min(...read.map((r) => r.sweep.frequency_MHz[r.sweep.frequency_MHz.length - 1]!));
  if (from_MHz < to_MHz) return { from_MHz, to_MHz };
  throw userError('sweep.apart', 'the sweeps share no range of frequencies: sweep all antennas over the same band');
}

const ratio = (value: number) => (Number.isFinite(value) ? value.toFixed(2) : 'infinite');
const MHz = (value: number) => String(Math.round(value * 1000) / 1000);

function verdictOfOne(r: SweepResult): string {
  const best = `best matched at ${MHz(r.atMinVswr_MHz)} MHz, standing-wave ratio ${ratio(r.minVswr)}`;
  const limit = r.usable?.limitVswr;
  const usable =
    r.usable === null
      ? 'nowhere within the limit'
      : `within ${limit} from ${MHz(r.usable.from_MHz)} to ${MHz(r.usable.to_MHz)} MHz`;
  const more = r.usableRanges > 1 ? ` (and in ${r.usableRanges - 1} other range${r.usableRanges > 2 ? 's' : ''})` : '';
  const band =
    r.band === null
      ? ''
      : ` Over ${MHz(r.band.from_MHz)} to ${MHz(r.band.to_MHz)} MHz the worst is ${ratio(r.band.worstVswr)} at ${MHz(r.band.worstAt_MHz)} MHz, which costs ${r.band.worstMismatchLoss_dB.toFixed(2)} dB.`;
  return `${r.file} is ${best}; ${usable}${more}.${band}`;
}

function verdictOfBatch(
  sweeps: readonly { readonly file: string; readonly keepsLimit: boolean }[],
  outliers: readonly string[],
  limitVswr: number,
  band: { from_MHz: number; to_MHz: number },
): string {
  const good = sweeps.filter((s) => s.keepsLimit).length;
  const where = `from ${MHz(band.from_MHz)} to ${MHz(band.to_MHz)} MHz`;
  const all = good === sweeps.length ? `All ${good} antennas keep` : `${good} of ${sweeps.length} antennas keep`;
  const few = sweeps.length < 5 ? ' Fewer than five tell no outliers.' : '';
  const out =
    outliers.length === 0
      ? few === ''
        ? ' None stands out from the batch.'
        : few
      : ` Out of the ordinary: ${outliers.join(', ')}.`;
  return `${all} a standing-wave ratio of ${limitVswr} ${where}.${out}`;
}
