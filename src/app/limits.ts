import type { Assumption, Caution } from '../core/energy/index.ts';
import {
  type Confirmation,
  checkLimits,
  type Emission,
  LIMITS_CAUTION,
  LIMITS_READ_ON,
  type Limit,
  type LimitReport,
  type LimitVerdict,
  limitsOf,
  type Region,
} from '../core/path/index.ts';
import { userError } from '../core/units/index.ts';

export interface LimitsRequest {
  readonly region: string;
  readonly frequency_MHz?: number | undefined;
  readonly bandwidth_kHz?: number | undefined;
  /** At the antenna connector. */
  readonly power_dBm?: number | undefined;
  readonly gain_dBi?: number | undefined;
  readonly feederLoss_dB?: number | undefined;
  readonly duty_pct?: number | undefined;
  readonly channels?: number | undefined;
}

export type Keeps = 'kept' | 'broken' | 'not judged';

/** One rule, with what was found of it. */
export interface LimitRow extends Omit<Limit, 'region'> {
  readonly confirmation: Confirmation;
  /** Not judged: the emission is not described, or lies outside the band. */
  readonly verdict: Keeps;
  readonly against: readonly string[];
  readonly also: readonly string[];
  /** Highest power at the connector by this rule with that antenna; null where the rule is not judged or names none. */
  readonly mostPower_dBm: number | null;
}

/** Result of `sunperch limits`. */
export interface LimitsOutcome {
  readonly command: 'limits';
  readonly region: string;
  readonly readOn: string;
  readonly verdict: string;
  /** Whether some rule of the region is kept wholly; null when nothing was to be judged. */
  readonly within: boolean | null;
  readonly eirp_dBm: number | null;
  readonly erp_dBm: number | null;
  readonly rows: readonly LimitRow[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

/** Without a power the rules are asked with one that none forbids. */
const PROBE_dBm = -200;

/** Regions in words. */
export const REGION_NAMES: Readonly<Record<Region, string>> = {
  US: 'the United States',
  EU: 'the European table (EU and CEPT)',
  UK: 'the United Kingdom',
  AU: 'Australia',
  NZ: 'New Zealand',
  JP: 'Japan',
  IN: 'India',
};

const USUAL = { bandwidth_kHz: 125, gain_dBi: 2.15 } as const;

/**
 * `sunperch limits`: the rules of a region as far as they were read, and whether an emission keeps one of them.
 *
 * Facts of a dated table (core/path/limits.ts), each row marked confirmed, partly or from memory. It decides nothing: local law does.
 * Throws UserError for an unknown region and for parts of an emission without a frequency.
 */
export function limits(request: LimitsRequest): LimitsOutcome {
  const rules = limitsOf(request.region);
  const region = rules[0]!.region;
  const cautions: Caution[] = [{ code: 'local-law', text: LIMITS_CAUTION }];
  const { frequency_MHz, power_dBm } = request;
  const plain = (rule: Limit): LimitRow => {
    const { region: _, ...facts } = rule;
    return {
      ...facts,
      verdict: 'not judged',
      against: [],
      also: rule.note === undefined ? [] : [rule.note],
      mostPower_dBm: null,
    };
  };
  const head = { command: 'limits', region, readOn: LIMITS_READ_ON, cautions } as const;
  if (frequency_MHz === undefined) {
    const described = Object.entries(OPTIONS).find(([key]) => request[key as keyof typeof OPTIONS] !== undefined);
    if (described !== undefined)
      throw userError(
        'limits.frequency',
        `${described[1]} is given without --frequency: a rule holds for a band, so the frequency comes first.`,
        { field: '--frequency' },
      );
    const sure = rules.filter((rule) => rule.confirmation === 'confirmed').length;
    return {
      ...head,
      verdict: `${rules.length} rules of ${REGION_NAMES[region]} are known here, ${sure} of them confirmed; --frequency, --bandwidth, --power and --gain hold a setting against them.`,
      within: null,
      eirp_dBm: null,
      erp_dBm: null,
      rows: rules.map(plain),
      assumptions: [],
    };
  }
  if (!(frequency_MHz > 0 && frequency_MHz < 1e6))
    throw userError('limits.number', `--frequency is ${frequency_MHz}: give it in MHz, such as 868.3.`, {
      field: '--frequency',
    });
  const assumptions: Assumption[] = [];
  const assume = (field: string, given: number | undefined, value: number, unit: string, why: string): number => {
    if (given !== undefined) return given;
    assumptions.push({ field, value: `${value} ${unit}`, why });
    return value;
  };
  const emission: Emission = {
    frequency_MHz,
    bandwidth_kHz: assume('--bandwidth', request.bandwidth_kHz, USUAL.bandwidth_kHz, 'kHz', 'a common bandwidth'),
    gain_dBi: assume('--gain', request.gain_dBi, USUAL.gain_dBi, 'dBi', 'a half-wave dipole'),
    feederLoss_dB: assume('--feeder', request.feederLoss_dB, 0, 'dB', 'all power reaches the antenna'),
    channels: assume('--channels', request.channels, 1, 'channel', 'it stays on one'),
    conducted_dBm: power_dBm ?? PROBE_dBm,
    ...(request.duty_pct === undefined ? {} : { duty_pct: request.duty_pct }),
  };
  if (emission.bandwidth_kHz <= 0 || emission.bandwidth_kHz > 1e5)
    throw userError('limits.number', `--bandwidth is ${emission.bandwidth_kHz}: give it in kHz, such as 125.`, {
      field: '--bandwidth',
    });
  const report = checkLimits(region, emission);
  const judged = new Map(report.verdicts.map((v) => [v.limit, v]));
  const rows = rules.map((rule): LimitRow => {
    const found = judged.get(rule);
    if (found === undefined) return plain(rule);
    const most = Number.isFinite(found.headroom_dB) ? emission.conducted_dBm + found.headroom_dB : null;
    const kept = found.within ? 'kept' : 'broken';
    return {
      ...plain(rule),
      verdict: power_dBm === undefined && found.within ? 'not judged' : kept,
      against: found.against,
      also: found.also,
      mostPower_dBm: most,
    };
  });
  if (power_dBm !== undefined && !report.within) cautions.push(OVER);
  return {
    ...head,
    verdict: verdictOf(report, emission, power_dBm, rows),
    within: power_dBm === undefined ? null : report.within,
    eirp_dBm: power_dBm === undefined ? null : report.eirp_dBm,
    erp_dBm: power_dBm === undefined ? null : report.erp_dBm,
    rows,
    assumptions,
  };
}

const OPTIONS = {
  bandwidth_kHz: '--bandwidth',
  power_dBm: '--power',
  gain_dBi: '--gain',
  feederLoss_dB: '--feeder',
  duty_pct: '--duty',
  channels: '--channels',
} as const;

const OVER: Caution = {
  code: 'over-limits',
  text: 'No rule of the table allows this setting as it stands: do not transmit with it before the local authority or a licence says otherwise.',
};

/** The verdict of a region on an emission, for other commands: the rule that is kept, or the one that comes nearest. */
export function limitHint(region: string, emission: Emission): { readonly text: string; readonly within: boolean } {
  const report = checkLimits(region, emission);
  return { text: sentenceOf(report, emission), within: report.within };
}

function verdictOf(
  report: LimitReport,
  emission: Emission,
  power_dBm: number | undefined,
  rows: readonly LimitRow[],
): string {
  if (power_dBm !== undefined || report.verdicts.length === 0) return sentenceOf(report, emission);
  const open = rows.filter((row) => row.mostPower_dBm !== null && row.against.length === 0);
  const best = open.reduce<LimitRow | undefined>(
    (a, b) => (a === undefined || b.mostPower_dBm! > a.mostPower_dBm! ? b : a),
    undefined,
  );
  const where = `${emission.frequency_MHz} MHz with ${emission.bandwidth_kHz} kHz`;
  if (best === undefined)
    return `At ${where} no rule of ${REGION_NAMES[report.region]} known here can be kept, whatever the power: ${nearest(report).against[0]}`;
  return `At ${where} up to ${best.mostPower_dBm!.toFixed(1)} dBm at the connector are allowed by a rule of ${REGION_NAMES[report.region]}: ${best.kind} (${best.citation}, ${sure(best)}).`;
}

const sure = (limit: Pick<Limit, 'confirmation'>) =>
  limit.confirmation === 'partly' ? 'partly confirmed' : limit.confirmation;

/** The rule with the fewest objections, the one that lacks least power among equals. */
function nearest(report: LimitReport): LimitVerdict {
  return [...report.verdicts].sort(
    (a, b) => a.against.length - b.against.length || (b.headroom_dB || 0) - (a.headroom_dB || 0),
  )[0]!;
}

function sentenceOf(report: LimitReport, emission: Emission): string {
  const region = REGION_NAMES[report.region];
  const what = `${emission.conducted_dBm} dBm with ${emission.gain_dBi} dBi at ${emission.frequency_MHz} MHz, ${emission.bandwidth_kHz} kHz wide,`;
  if (report.verdicts.length === 0) {
    const bands = report.bands.map((b) => `${b.from_MHz}–${b.to_MHz}`).join(', ');
    return `${what} lies in no band of ${region} known here: those are ${bands} MHz.`;
  }
  const kept = report.verdicts.filter((v) => v.within).sort((a, b) => (b.headroom_dB || 0) - (a.headroom_dB || 0))[0];
  if (kept !== undefined) {
    const room = Number.isFinite(kept.headroom_dB) ? `, ${kept.headroom_dB.toFixed(1)} dB below its power limit` : '';
    const also =
      kept.limit.duty_pct !== undefined && emission.duty_pct === undefined
        ? `; on the air at most ${kept.limit.duty_pct} % of the hour`
        : '';
    return `${what} keeps a rule of ${region}: ${kept.limit.kind} (${kept.limit.citation}, ${sure(kept.limit)})${room}${also}.`;
  }
  const near = nearest(report);
  return `${what} keeps no rule of ${region} known here. Nearest is ${near.limit.kind} (${near.limit.citation}, ${sure(near.limit)}): ${near.against.join(' ')}`;
}
