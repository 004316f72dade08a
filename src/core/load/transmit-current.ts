import { userError } from '../units/index.ts';

/**
 * Supply current of a transceiver of the 22 dBm class while it sends, at 3.3 V and 868/915 MHz, with the output stage
 * matched to each power: data-sheet values for 14 and 22 dBm, FROM MEMORY for 17 and 20 dBm. Oscillator and antenna
 * switch come on top (a few mA at most, from memory).
 */
const MATCHED: readonly (readonly [number, number])[] = [
  [14, 45],
  [17, 58],
  [20, 84],
  [22, 118],
];
/** The same with the output stage matched to 22 dBm, as most boards are built, and turned down (data sheet). */
const TURNED_DOWN: readonly (readonly [number, number])[] = [
  [14, 90],
  [17, 95],
  [22, 118],
];

/** How the output stage is matched: to the power in use, or to 22 dBm and turned down. */
export type OutputStage = 'matched' | 'turned-down';

/**
 * Typical current while sending, mA at 3.3 V, for a power at the antenna port; straight lines between the known powers.
 * Below 14 dBm the value at 14 dBm is given, an upper bound. Good to about 15 %: measure where it matters.
 *
 * @throws UserError above 22 dBm, where an amplifier outside the transceiver decides
 */
export function typicalTransmit_mA(power_dBm: number, stage: OutputStage = 'turned-down', field?: string): number {
  const table = stage === 'matched' ? MATCHED : TURNED_DOWN;
  if (!(power_dBm <= 22))
    throw userError(
      'load-transmit-power',
      `power_dBm is ${power_dBm}: above 22 dBm the current depends on the amplifier; give current_mA as measured or from its data sheet.`,
      field === undefined ? undefined : { field },
    );
  if (power_dBm <= table[0][0]) return table[0][1];
  for (let i = 1; i < table.length; i++) {
    const [p1, i1] = table[i];
    const [p0, i0] = table[i - 1];
    if (power_dBm <= p1) return i0 + ((power_dBm - p0) / (p1 - p0)) * (i1 - i0);
  }
  return table[table.length - 1][1];
}
