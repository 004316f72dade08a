import { userError } from '../units/index.ts';

/**
 * Specific attenuation and greatest loss of one measured wood by frequency: one measured set of ITU-R P.833,
 * as quoted in a public model file (the Recommendation's own table was not read).
 */
const WOOD: readonly { frequency_MHz: number; specific_dB_m: number; most_dB: number }[] = [
  { frequency_MHz: 105.9, specific_dB_m: 0.04, most_dB: 9.4 },
  { frequency_MHz: 466.5, specific_dB_m: 0.12, most_dB: 18.0 },
  { frequency_MHz: 949, specific_dB_m: 0.17, most_dB: 26.5 },
  { frequency_MHz: 1852, specific_dB_m: 0.3, most_dB: 29.0 },
  { frequency_MHz: 2117.5, specific_dB_m: 0.34, most_dB: 34.1 },
];

/**
 * Loss of a path that runs `depth_m` through a wood before it reaches an antenna inside, dB.
 *
 * Source: ITU-R P.833-10, sec. 2.1, eq. 1: A = Am (1 - exp(-d γ/Am)). γ and Am between the measured frequencies by straight lines in
 * log f, held at the ends. One wood's values: others differ by a factor of two. Valid 105-2118 MHz.
 * It stands for clutter at that end: never add it to clutter in the profile or to P.2108. Checked by its limits only.
 *
 * @throws UserError outside the limits.
 */
export function woodlandLoss_dB(frequency_MHz: number, depth_m: number): number {
  const { specific_dB_m, most_dB } = woodland(frequency_MHz);
  if (!(depth_m >= 0 && depth_m <= 1e5))
    throw userError('path.range', `depth_m is ${depth_m}: it lies between 0 and 100,000 m.`, { field: 'depth_m' });
  return most_dB * -Math.expm1((-depth_m * specific_dB_m) / most_dB); // eq. 1
}

/** What goes into eq. 1 at a frequency: specific attenuation and greatest loss. Errors as `woodlandLoss_dB`. */
export function woodland(frequency_MHz: number): { readonly specific_dB_m: number; readonly most_dB: number } {
  const first = WOOD[0]!;
  const last = WOOD[WOOD.length - 1]!;
  if (!(frequency_MHz >= first.frequency_MHz && frequency_MHz <= last.frequency_MHz))
    throw userError('path.range', `frequency_MHz is ${frequency_MHz}: it lies between 105.9 and 2117.5 MHz.`, {
      field: 'frequency_MHz',
    });
  let i = 0;
  while (i < WOOD.length - 2 && frequency_MHz > WOOD[i + 1]!.frequency_MHz) i++;
  const a = WOOD[i]!;
  const b = WOOD[i + 1]!;
  const share = Math.log(frequency_MHz / a.frequency_MHz) / Math.log(b.frequency_MHz / a.frequency_MHz);
  return {
    specific_dB_m: a.specific_dB_m + share * (b.specific_dB_m - a.specific_dB_m),
    most_dB: a.most_dB + share * (b.most_dB - a.most_dB),
  };
}
