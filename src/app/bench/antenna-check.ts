/** The antenna of a batch against what its module was approved with and what the rules of its region allow. */
import { checkLimits, DIPOLE_GAIN_dBi } from '../../core/path/index.ts';
import { antennaOf, type Plan, radioOf, settingOfVariant, variantOf } from '../../records/bench/index.ts';
import type { Kit } from '../../records/index.ts';
import { REGION_NAMES } from '../limits.ts';
import type { Region } from './market-row.ts';
import type { BenchState } from './state.ts';
import { linesOf } from './units.ts';

export interface AntennaCheck {
  readonly gain_dBi: number;
  /** Who tells the gain. */
  readonly gainFrom: 'plan' | 'kit' | 'taken for a dipole';
  /** Approval of the module for the region, as the part tells it; null where it tells none. */
  readonly grant: string | null;
  /** Kind and greatest gain of the antennas in that approval. */
  readonly permits: string | null;
  readonly permits_dBi: number | null;
  readonly withinGrant: boolean | null;
  /** Power at the connector and frequency that the limits were asked with; null where neither plan nor kit tells of a radio. */
  readonly power_dBm: number | null;
  readonly frequency_MHz: number | null;
  /** Greatest gain with which some rule of the region is kept at that power; null where none is, whatever the gain. */
  readonly mostGain_dBi: number | null;
  readonly withinLimits: boolean | null;
  /** All of it in sentences. */
  readonly said: string;
}

/** Gains that are looked at, dBi, in tenths. */
const LEAST_dBi = -20;
const MOST_dBi = 40;

export function antennaCheck(state: BenchState, plan: Plan, region: Region, kit: Kit | undefined): AntennaCheck {
  const variant = variantOf(plan, region);
  const own = variant === undefined ? {} : antennaOf(variant);
  const told = own.gain_dBi ?? kit?.antenna?.gain_dBi;
  const gain_dBi = told ?? DIPOLE_GAIN_dBi;
  const gainFrom = own.gain_dBi !== undefined ? 'plan' : told !== undefined ? 'kit' : 'taken for a dipole';
  const approval = approvalOf(state, plan, region);
  const permits_dBi = approval?.gain_dBi ?? null;
  const withinGrant = permits_dBi === null ? null : gain_dBi <= permits_dBi;
  const radio = settingOfVariant(variant) ?? kit?.radio;
  const feederLoss_dB = own.feederLoss_dB ?? kit?.antenna?.feederLoss_dB ?? 0;
  const kept = (gain: number): boolean =>
    radio !== undefined &&
    checkLimits(region, {
      frequency_MHz: radio.frequency_MHz,
      bandwidth_kHz: radio.bandwidth_kHz,
      conducted_dBm: radio.power_dBm,
      gain_dBi: gain,
      feederLoss_dB,
    }).within;
  const mostGain_dBi = greatest(kept);
  const withinLimits = radio === undefined ? null : kept(gain_dBi);
  const from = { plan: 'as the plan tells', kit: 'as the kit tells', 'taken for a dipole': 'taken for a dipole' }[
    gainFrom
  ];
  const said = [
    `This batch: ${gain_dBi} dBi, ${from}.`,
    grantText(approval, gain_dBi, withinGrant),
    ...(radio === undefined
      ? ['Neither plan nor kit tells of a radio: the limits were not asked.']
      : [limitText(region, radio, gain_dBi, mostGain_dBi, withinLimits)]),
  ].join(' ');
  return {
    ...{
      gain_dBi,
      gainFrom,
      grant: approval?.grant ?? null,
      permits: approval?.antenna ?? null,
      permits_dBi,
      withinGrant,
    },
    ...{ power_dBm: radio?.power_dBm ?? null, frequency_MHz: radio?.frequency_MHz ?? null, mostGain_dBi, withinLimits },
    said,
  };
}

type Approval = {
  readonly grant: string;
  readonly antenna?: string | undefined;
  readonly gain_dBi?: number | undefined;
};

/** What the radio of the variant, or of the bill, was approved with for the region. */
function approvalOf(state: BenchState, plan: Plan, region: Region): Approval | undefined {
  const variant = variantOf(plan, region);
  const named = variant === undefined ? undefined : radioOf(variant).part;
  const parts = [...(named === undefined ? [] : [named]), ...linesOf(plan).map((line) => line.part)];
  for (const part of parts) {
    const found = state.parts.get(part)?.approvals?.find((one) => one.region === region);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** The greatest gain in tenths of a decibel that is kept; null where none is. What is kept at a gain is kept below it. */
function greatest(kept: (gain_dBi: number) => boolean): number | null {
  let [low, high] = [10 * LEAST_dBi, 10 * MOST_dBi];
  if (!kept(low / 10)) return null;
  if (kept(high / 10)) return high / 10;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (kept(middle / 10)) low = middle;
    else high = middle;
  }
  return low / 10;
}

function grantText(approval: Approval | undefined, gain_dBi: number, within: boolean | null): string {
  if (approval === undefined)
    return 'What the module was approved with is not told: give its part approvals (region, grant, antenna, gain_dBi).';
  const kind = approval.antenna === undefined ? '' : `, ${approval.antenna}`;
  if (approval.gain_dBi === undefined) return `Approval ${approval.grant}${kind} tells no gain: look into it.`;
  return within === true
    ? `Approval ${approval.grant} permits up to ${approval.gain_dBi} dBi${kind}: kept, if the kind is that one.`
    : `Approval ${approval.grant} permits up to ${approval.gain_dBi} dBi${kind}: ${round(gain_dBi - approval.gain_dBi)} dB too much, another test or another antenna is wanted.`;
}

function limitText(
  region: Region,
  { power_dBm, frequency_MHz }: { readonly power_dBm: number; readonly frequency_MHz: number },
  gain_dBi: number,
  most: number | null,
  within: boolean | null,
): string {
  const at = `${power_dBm} dBm at ${frequency_MHz} MHz`;
  if (most === null) return `With ${at} no rule of ${REGION_NAMES[region]} known here is kept, whatever the antenna.`;
  return within === true
    ? `With ${at} a rule of ${REGION_NAMES[region]} allows up to ${most} dBi: kept.`
    : `With ${at} the rules of ${REGION_NAMES[region]} known here allow up to ${most} dBi: ${round(gain_dBi - most)} dB too much, less power or another antenna is wanted.`;
}

const round = (value: number) => Math.round(10 * value) / 10;
