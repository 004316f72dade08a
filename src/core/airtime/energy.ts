/**
 * Supply current of a common transceiver for 150-960 MHz at 3.3 V and 25 °C, mA, with its own step-down converter; without a
 * reference oscillator of its own and without an aerial switch.
 *
 * Source: SX1261/2 data sheet, tables 3-5 and 3-6, as quoted in two public notes. A board adds its own consumers: measure it.
 */
export const TRANSCEIVER_SUPPLY_mA = {
  receive: 4.6,
  receiveBoosted: 5.3,
  receiveLinear: 8.8,
  receiveBoostedLinear: 10.1,
  synthesizer: 2.1,
  standbyRc: 0.6,
  standbyCrystal: 0.8,
  sleepWarm: 0.0006,
  sleepCold: 0.00016,
  /** Amplifier for 22 dBm at 22, 17 and 14 dBm; the one for 14 dBm at 14 dBm. */
  transmit22dBm: 118,
  transmit17dBm: 95,
  transmit14dBm: 90,
  transmit14dBmSmall: 45,
} as const;

export interface MessageEnergyInput {
  readonly timeOnAir_ms: number;
  readonly supply_V: number;
  /** Drawn from that supply while sending, and otherwise. */
  readonly transmit_mA: number;
  readonly idle_mA: number;
}

/**
 * Energy that sending a message costs, mJ: all that is drawn, and what is drawn beyond the idle current.
 *
 * The second is what a forecast adds for each message to a load that idles all day. Plain E = V·I·t; checked by hand.
 */
export function messageEnergy_mJ(input: MessageEnergyInput): { total_mJ: number; extra_mJ: number } {
  const seconds = input.timeOnAir_ms / 1000;
  return {
    total_mJ: input.supply_V * input.transmit_mA * seconds,
    extra_mJ: input.supply_V * (input.transmit_mA - input.idle_mA) * seconds,
  };
}
