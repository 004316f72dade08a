/** What the rules of a region say of a gate: the band of a sweep, the most power at the connector. */
import { checkLimits, DIPOLE_GAIN_dBi, limitsOf } from '../../core/path/index.ts';
import type { RadioSettingOf, VariantAntenna } from './variant.ts';

export interface Band {
  readonly from_MHz: number;
  readonly to_MHz: number;
}

/** Bands further away than this belong to another service (judgement: 433, 868 and 915 MHz lie further apart). */
const SAME_STRETCH_MHz = 30;

/**
 * The stretch of band of a region's rules about a frequency; without a frequency, all of them.
 *
 * @throws UserError for a region that the table does not know
 */
export function bandOfRegion(region: string, frequency_MHz?: number): Band {
  const rules = limitsOf(region);
  const near = rules.filter(
    ({ from_MHz, to_MHz }) =>
      frequency_MHz === undefined ||
      (frequency_MHz >= from_MHz - SAME_STRETCH_MHz && frequency_MHz <= to_MHz + SAME_STRETCH_MHz),
  );
  const stretch = near.length === 0 ? rules : near;
  return {
    from_MHz: Math.min(...stretch.map((rule) => rule.from_MHz)),
    to_MHz: Math.max(...stretch.map((rule) => rule.to_MHz)),
  };
}

/** Without a power the rules are asked with one that none forbids. */
const PROBE_dBm = -200;

/**
 * Most power at the connector, dBm, that some rule of the region allows this radio with this antenna; undefined where none
 * that names a power can be kept. Rounded down to a tenth. The table of core/path decides nothing: local law does.
 */
export function mostPower_dBm(
  region: string,
  { frequency_MHz, bandwidth_kHz }: Pick<RadioSettingOf, 'frequency_MHz' | 'bandwidth_kHz'>,
  { gain_dBi = DIPOLE_GAIN_dBi, feederLoss_dB = 0 }: VariantAntenna,
): number | undefined {
  const emission = { frequency_MHz, bandwidth_kHz, gain_dBi, feederLoss_dB, conducted_dBm: PROBE_dBm };
  const kept = checkLimits(region, emission).verdicts.filter((v) => v.within && Number.isFinite(v.headroom_dB));
  if (kept.length === 0) return undefined;
  const most = PROBE_dBm + Math.max(...kept.map((v) => v.headroom_dB));
  return Math.floor(10 * most + 1e-6) / 10;
}
