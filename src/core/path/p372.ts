import { userError } from '../units/index.ts';

/** Surroundings of the receiving antenna, from the noisiest to the quietest. */
export type NoiseSetting = 'city' | 'residential' | 'rural' | 'quiet rural';

/** Constants c and d of the median noise figure c - d log f (ITU-R P.372, sec. on man-made noise, f in MHz). */
const MEDIAN = {
  city: { c_dB: 76.8, d_dB: 27.7 },
  residential: { c_dB: 72.5, d_dB: 27.7 },
  rural: { c_dB: 67.2, d_dB: 27.7 },
  'quiet rural': { c_dB: 53.6, d_dB: 28.6 },
} as const;

/** From some 129 MHz to 900 MHz the noise of business areas falls more slowly, 44.3 - 12.3 log f (older editions, P.372-8). */
const CITY_UHF = { c_dB: 44.3, d_dB: 12.3 };

/**
 * Upper and lower deciles of man-made noise over time, dB from the median (P.372). The values are those below 250 MHz and are
 * not confirmed above. The rural ones serve for quiet rural too.
 */
export const NOISE_DECILES_dB = {
  city: { upper: 11.0, lower: 6.7 },
  residential: { upper: 10.6, lower: 5.3 },
  rural: { upper: 9.2, lower: 4.6 },
  'quiet rural': { upper: 9.2, lower: 4.6 },
} as const;

export interface ManMadeNoise {
  /** Median noise figure over kT0B that the antenna brings in; below zero the receiver's own noise rules. */
  readonly figure_dB: number;
  /** The formula is used above the frequency for which it was measured (900 MHz for cities, 250 MHz else). */
  readonly extrapolated: boolean;
}

/**
 * Median man-made noise of a place, as a noise figure over kT0B, dB.
 *
 * Source: ITU-R P.372 (constants agree in the -8 and -17 editions as coded in two public programs; the text itself was not read).
 * Measured in the 1970s below 250 MHz; at 868-928 MHz all but the city's line are extrapolations, and switched-mode supplies and
 * LED lamps nearby can be far louder: a noise rise measured on the spot is worth more than this.
 * Checked against a hand calculation of the published constants only.
 *
 * @throws UserError outside 0.3-3000 MHz.
 */
export function manMadeNoise(frequency_MHz: number, setting: NoiseSetting): ManMadeNoise {
  if (!(frequency_MHz >= 0.3 && frequency_MHz <= 3000))
    throw userError('path.range', `frequency_MHz is ${frequency_MHz}: it lies between 0.3 and 3000 MHz.`, {
      field: 'frequency_MHz',
    });
  const log = Math.log10(frequency_MHz);
  const { c_dB, d_dB } = MEDIAN[setting];
  const low_dB = c_dB - d_dB * log;
  if (setting !== 'city') return { figure_dB: low_dB, extrapolated: frequency_MHz > 250 };
  return { figure_dB: Math.max(low_dB, CITY_UHF.c_dB - CITY_UHF.d_dB * log), extrapolated: frequency_MHz > 900 };
}

/**
 * Noise figure of antenna, feeder and receiver together, dB, at a reference temperature of 290 K throughout.
 *
 * Source: ITU-R P.372, the equation for the operating noise factor f = fa - 1 + fc·ft·fr. An antenna near the ground looks at warm
 * ground, so the external factor is held at one or above (our choice: never better than a resistor at 290 K).
 * `externalFigures_dB` are powers over kT0B that add up, such as man-made noise and a measured rise.
 */
export function systemNoiseFigure_dB(
  receiverFigure_dB: number,
  feederLoss_dB: number,
  externalFigures_dB: readonly number[],
): number {
  let external = 0;
  for (const figure_dB of externalFigures_dB) external += 10 ** (0.1 * figure_dB);
  return 10 * Math.log10(Math.max(external, 1) - 1 + 10 ** (0.1 * (receiverFigure_dB + feederLoss_dB)));
}
