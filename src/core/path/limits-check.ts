import { userError } from '../units/index.ts';
import { DIPOLE_GAIN_dBi, LIMITS, type Limit, REGIONS, type Region } from './limits.ts';

/** What is to be sent, for a comparison with the rules. */
export interface Emission {
  readonly frequency_MHz: number;
  readonly bandwidth_kHz: number;
  /** At the antenna connector. */
  readonly conducted_dBm: number;
  readonly gain_dBi: number;
  /** Between connector and antenna. */
  readonly feederLoss_dB?: number;
  /** Number of channels hopped over; 1 stays on one. */
  readonly channels?: number;
  /** Share of the hour on the air; left out means not known, and a duty cycle is told but not judged. */
  readonly duty_pct?: number;
}

export interface LimitVerdict {
  readonly limit: Limit;
  readonly within: boolean;
  /** What is over or amiss, a sentence each; empty when within. */
  readonly against: readonly string[];
  /** What the rule asks beyond what was judged. */
  readonly also: readonly string[];
  /** Power that may still be added (negative: must be taken off), by the tightest of the power rules; NaN where none is named. */
  readonly headroom_dB: number;
}

export interface LimitReport {
  readonly region: Region;
  readonly eirp_dBm: number;
  readonly erp_dBm: number;
  /** Rules of the region whose band holds the whole emission; empty: no rule read allows it there. */
  readonly verdicts: readonly LimitVerdict[];
  /** Whether one of them is kept wholly. */
  readonly within: boolean;
  /** Nearest stretches of band of the region, where none holds the emission. */
  readonly bands: readonly { readonly from_MHz: number; readonly to_MHz: number }[];
}

/** All rules of a region. */
export function limitsOf(region: string): readonly Limit[] {
  const found = REGIONS.find((r) => r === region.toUpperCase());
  if (found === undefined)
    throw userError(
      'limits.region',
      `"${region.slice(0, 20)}" is no region of the table: it knows ${REGIONS.join(', ')}. For elsewhere ask the local authority.`,
      { field: 'region' },
    );
  return LIMITS.filter((limit) => limit.region === found);
}

/**
 * Compares an emission with the rules of a region. A tool's estimate: local law decides.
 *
 * The emission is taken to fill frequency ± bandwidth/2; its power density is that of an even spread over the bandwidth, which is
 * what chirp modulation comes near to. Radiated powers: e.i.r.p. = conducted - feeder + gain, e.r.p. 2.15 dB less.
 *
 * @throws UserError for an unknown region or a value that is no number.
 */
export function checkLimits(region: string, emission: Emission): LimitReport {
  const rules = limitsOf(region);
  const { frequency_MHz, bandwidth_kHz, conducted_dBm, gain_dBi, feederLoss_dB = 0, channels = 1 } = emission;
  for (const [field, value] of Object.entries({
    frequency_MHz,
    bandwidth_kHz,
    conducted_dBm,
    gain_dBi,
    feederLoss_dB,
    channels,
  }))
    if (!Number.isFinite(value))
      throw userError('limits.number', `${field} is ${value}: a number is needed.`, { field });
  const eirp_dBm = conducted_dBm - feederLoss_dB + gain_dBi;
  const erp_dBm = eirp_dBm - DIPOLE_GAIN_dBi;
  const low_MHz = frequency_MHz - bandwidth_kHz / 2000;
  const high_MHz = frequency_MHz + bandwidth_kHz / 2000;
  const verdicts = rules
    .filter((rule) => low_MHz >= rule.from_MHz - 1e-9 && high_MHz <= rule.to_MHz + 1e-9)
    .map((rule) => judge(rule, { ...emission, channels, feederLoss_dB }, eirp_dBm, erp_dBm));
  return {
    region: rules[0]!.region,
    eirp_dBm,
    erp_dBm,
    verdicts,
    within: verdicts.some((verdict) => verdict.within),
    bands: verdicts.length > 0 ? [] : bandsOf(rules),
  };
}

function judge(
  rule: Limit,
  emission: Emission & { channels: number; feederLoss_dB: number },
  eirp_dBm: number,
  erp_dBm: number,
): LimitVerdict {
  const { bandwidth_kHz, conducted_dBm, gain_dBi, channels, duty_pct } = emission;
  const against: string[] = [];
  const also: string[] = [];
  let headroom_dB = Number.POSITIVE_INFINITY;
  const power = (what: string, value_dBm: number, limit_dBm: number, why = '') => {
    headroom_dB = Math.min(headroom_dB, limit_dBm - value_dBm);
    if (value_dBm > limit_dBm + 1e-9)
      against.push(`${what} is ${round(value_dBm)} dBm: ${round(limit_dBm)} dBm are allowed${why}.`);
  };
  if (rule.conducted_dBm !== undefined) {
    const over_dB = rule.freeGain_dBi === undefined ? 0 : Math.max(gain_dBi - rule.freeGain_dBi, 0);
    const why = over_dB > 0 ? `, ${round(over_dB)} dB less for a gain above ${rule.freeGain_dBi} dBi` : '';
    power('The conducted power', conducted_dBm, rule.conducted_dBm - over_dB, why);
  }
  if (rule.eirp_dBm !== undefined) power('The e.i.r.p.', eirp_dBm, rule.eirp_dBm);
  if (rule.erp_dBm !== undefined) power('The e.r.p.', erp_dBm, rule.erp_dBm);
  if (rule.density_dBm_3kHz !== undefined) {
    const density_dBm = conducted_dBm - 10 * Math.log10(Math.max(bandwidth_kHz / 3, 1));
    power('The power in 3 kHz', density_dBm, rule.density_dBm_3kHz);
  }
  if (rule.leastBandwidth_kHz !== undefined && bandwidth_kHz < rule.leastBandwidth_kHz)
    against.push(`The bandwidth is ${bandwidth_kHz} kHz: at least ${rule.leastBandwidth_kHz} kHz are asked.`);
  if (rule.mostBandwidth_kHz !== undefined && bandwidth_kHz > rule.mostBandwidth_kHz)
    against.push(`The bandwidth is ${bandwidth_kHz} kHz: at most ${rule.mostBandwidth_kHz} kHz are allowed.`);
  if (rule.bandwidthBelow_kHz !== undefined && bandwidth_kHz >= rule.bandwidthBelow_kHz)
    against.push(`The bandwidth is ${bandwidth_kHz} kHz: less than ${rule.bandwidthBelow_kHz} kHz is asked.`);
  if (rule.leastChannels !== undefined && channels < rule.leastChannels)
    against.push(
      `It uses ${channels} channel${channels === 1 ? '' : 's'}: hopping over at least ${rule.leastChannels} is asked.`,
    );
  if (rule.duty_pct !== undefined) {
    if (duty_pct === undefined)
      also.push(`At most ${rule.duty_pct} % of the hour on the air; polite access to the channel may stand in for it.`);
    else if (duty_pct > rule.duty_pct)
      against.push(`It is on the air for ${round(duty_pct)} % of the hour: ${rule.duty_pct} % are allowed.`);
  }
  if (rule.dwell !== undefined) also.push(`Stays on a channel for at most ${rule.dwell}.`);
  if (rule.note !== undefined) also.push(`${rule.note[0]!.toUpperCase()}${rule.note.slice(1)}.`);
  return {
    limit: rule,
    within: against.length === 0,
    against,
    also,
    headroom_dB: Number.isFinite(headroom_dB) ? headroom_dB : Number.NaN,
  };
}

function bandsOf(rules: readonly Limit[]): { from_MHz: number; to_MHz: number }[] {
  const bands = rules.map(({ from_MHz, to_MHz }) => ({ from_MHz, to_MHz }));
  return bands.filter((b, i) => bands.findIndex((o) => o.from_MHz === b.from_MHz && o.to_MHz === b.to_MHz) === i);
}

const round = (value: number) => Math.round(value * 100) / 100;
