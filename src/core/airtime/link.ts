import { userError } from '../units/index.ts';

/** Thermal noise in 1 Hz at 290 K, rounded as the trade rounds it (exactly -173.98). */
const THERMAL_dBm_Hz = -174;

/** Lowest signal-to-noise ratio that is still received, dB, from SF5 on. SF5 and SF6: from memory; SF7-SF12: data sheets as quoted. */
const SNR_LIMIT_dB: readonly number[] = [-2.5, -5, -7.5, -10, -12.5, -15, -17.5, -20];

/** Ratio to an interferer of the same spreading factor above which the stronger packet survives, dB (Bor et al. 2016; cautious). */
export const CAPTURE_dB = 6;

/**
 * Lowest signal-to-interferer ratio for a packet to survive another spreading factor, dB; rows: wanted SF7-SF12, columns: interferer.
 *
 * Source: Croce et al. 2018, IEEE Communications Letters 22(4), measured (as coded in public simulators; the table of the
 * paper was not read). Its diagonal of 1 dB is replaced by `CAPTURE_dB` where it is asked for.
 */
const INTER_SF_dB: readonly (readonly number[])[] = [
  [1, -8, -9, -9, -9, -9],
  [-11, 1, -11, -12, -13, -13],
  [-15, -13, 1, -13, -14, -15],
  [-19, -18, -17, 1, -17, -18],
  [-22, -22, -21, -20, 1, -20],
  [-25, -25, -25, -24, -23, 1],
];

/** Lowest signal-to-noise ratio at which a spreading factor is received, dB. */
export function snrLimit_dB(sf: number): number {
  const limit = SNR_LIMIT_dB[sf - 5];
  if (limit === undefined)
    throw userError('airtime.sf', `The spreading factor is ${sf}: it is a whole number from 5 to 12.`, { field: 'sf' });
  return limit;
}

/** Noise in a bandwidth behind a receiver of a noise figure, dBm. */
export function noiseFloor_dBm(bandwidth_kHz: number, noiseFigure_dB: number): number {
  return THERMAL_dBm_Hz + 10 * Math.log10(bandwidth_kHz * 1000) + noiseFigure_dB;
}

/**
 * Weakest signal that is received, dBm: thermal noise, noise figure and signal-to-noise limit.
 *
 * Valid for SF5-SF12; 6 dB is the usual noise figure of a receiver alone, external noise adds to it. Checked against worked
 * values in test/golden/airtime-sensitivity.csv; a data sheet's -137 dBm for SF12 at 125 kHz is met to 0.1 dB.
 */
export function sensitivity_dBm(sf: number, bandwidth_kHz: number, noiseFigure_dB: number): number {
  return noiseFloor_dBm(bandwidth_kHz, noiseFigure_dB) + snrLimit_dB(sf);
}

/** The least spreading factor whose limit lies `margin_dB` or more below the signal-to-noise ratio; undefined: none does. */
export function leastSf(snr_dB: number, margin_dB = 0, from = 7): number | undefined {
  for (let sf = from; sf <= 12; sf++) if (snr_dB - snrLimit_dB(sf) >= margin_dB) return sf;
  return undefined;
}

/**
 * Ratio of wanted to interfering power above which a packet survives a packet in the same channel, dB.
 *
 * SF7-SF12. Same spreading factor: `capture_dB`, 6 dB if left out (a measurement found 1 dB; the cautious value is the default).
 */
export function survivalRatio_dB(wantedSf: number, interfererSf: number, capture_dB = CAPTURE_dB): number {
  const ratio = INTER_SF_dB[wantedSf - 7]?.[interfererSf - 7];
  if (ratio === undefined)
    throw userError(
      'airtime.sf',
      `Spreading factors ${wantedSf} and ${interfererSf}: how they disturb each other is known for 7 to 12 only.`,
      { field: 'sf' },
    );
  return wantedSf === interfererSf ? capture_dB : ratio;
}
