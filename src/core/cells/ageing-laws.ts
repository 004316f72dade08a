import { KELVIN_AT_0_degC } from '../units/index.ts';
import { NMC111, openCircuit_V } from './chemistry.ts';

/**
 * Published ageing laws of lithium-ion cells, each of the form loss = alpha·t^p at rest.
 *
 * - `nmc-2014`: Schmalstieg, Käbitz, Ecker & Sauer, J. Power Sources 257 (2014) 325-334: NMC111/graphite 18650 of
 *   2.05 Ah; calendar ageing measured at 35-65 °C (span from memory), cycling at 35 °C and 1C only.
 * - `nca-2016`: NCA/graphite 18650 of about 3 Ah: calendar data of Keil et al., J. Electrochem. Soc. 163 (2016) A1872
 *   (25-50 °C, 300 days).
 * - `nmc811-2020`: NMC811/graphite-silicon 18650 of 3.5 Ah: calendar data of the EVERLASTING project, report D2.3 (2020).
 *
 * Coefficients of the last two: the fits in NREL's public battery-life code, commit bae8c719. Checked in
 * test/core/cells/ageing.test.ts against the reference points of all three, 0.2 % of the loss.
 */
export type AgeingModel = 'nmc-2014' | 'nca-2016' | 'nmc811-2020';

/** Exponent of time, p, of each law. */
export const TIME_EXPONENT: Readonly<Record<AgeingModel, number>> = {
  'nmc-2014': 0.75,
  'nca-2016': 0.512,
  'nmc811-2020': 0.743,
};

/** Temperatures that each law's data cover (of the third: assumed, its report was not at hand); outside, results are extrapolated and say so. */
export const AGEING_RANGE: Readonly<
  Record<AgeingModel, { readonly lowest_degC: number; readonly highest_degC: number }>
> = {
  'nmc-2014': { lowest_degC: 20, highest_degC: 65 },
  'nca-2016': { lowest_degC: 25, highest_degC: 50 },
  'nmc811-2020': { lowest_degC: 20, highest_degC: 60 },
};

/** Rested voltage of the 2014 paper's own cell at a state of charge: its law is written in that cell's voltage, V. */
export function ageingVoltage_V(soc: number): number {
  return openCircuit_V(NMC111, soc);
}

/** alpha_cap of Schmalstieg 2014, 1/day^0.75: (7.543 V - 23.75)·1e6·exp(-6976/T), not below zero (V < 3.149 V). */
export function alphaCapacity(voltage_V: number, temperature_degC: number): number {
  return Math.max(0, 7.543 * voltage_V - 23.75) * 1e6 * Math.exp(-6976 / (temperature_degC + KELVIN_AT_0_degC));
}

/** alpha_res of Schmalstieg 2014, 1/day^0.75: (5.270 V - 16.32)·1e5·exp(-5986/T), not below zero. */
export function alphaResistance(voltage_V: number, temperature_degC: number): number {
  return Math.max(0, 5.27 * voltage_V - 16.32) * 1e5 * Math.exp(-5986 / (temperature_degC + KELVIN_AT_0_degC));
}

/** Calendar rate alpha of a law, 1/day^p, at a state of charge 0..1 and a cell temperature. */
export function calendarRate(model: AgeingModel, soc: number, temperature_degC: number): number {
  const kelvin = temperature_degC + KELVIN_AT_0_degC;
  if (model === 'nca-2016') return 75.4 * Math.exp(-3340 / kelvin) * Math.exp((353 * soc) / kelvin);
  if (model === 'nmc811-2020') return 0.0353 * Math.exp(-1030 / kelvin) * Math.exp((57.7 * soc) / kelvin);
  return alphaCapacity(ageingVoltage_V(soc), temperature_degC);
}

/**
 * One step of loss = alpha·t^p under changing conditions, by the equivalent-time rule
 * d(loss) = alpha·p·(loss/alpha)^((p-1)/p)·dt. Its integral over a step of constant alpha is exact:
 * loss^(1/p) grows by alpha^(1/p)·dt, whatever the length of the step.
 */
export function stepCalendar(loss: number, alpha: number, exponent: number, days: number): number {
  return (loss ** (1 / exponent) + alpha ** (1 / exponent) * days) ** exponent;
}

/** beta_cap of Schmalstieg 2014, per √Ah of the 2.05 Ah cell; depth 0..1, root-mean-square voltage of the cycle, V. */
export function betaCapacity(rmsVoltage_V: number, depth: number): number {
  return 7.348e-3 * (rmsVoltage_V - 3.667) ** 2 + 7.6e-4 + 4.081e-3 * depth;
}

/** beta_res of Schmalstieg 2014, per Ah of the 2.05 Ah cell; not below zero, to which the fit falls for very shallow cycles. */
export function betaResistance(rmsVoltage_V: number, depth: number): number {
  return Math.max(0, 2.153e-4 * (rmsVoltage_V - 3.725) ** 2 - 1.521e-5 + 2.798e-4 * depth);
}

/** Capacity of the cell to which Schmalstieg's throughput belongs, Ah. */
export const REFERENCE_CELL_Ah = 2.05;

/** Loss of capacity and gain of resistance by cycling: Schmalstieg 2014, beta_cap·√Q and beta_res·Q, Q scaled by 2.05/C. */
export function cycleAgeing(cycle: {
  /** Charge put in and drawn together, Ah. */
  readonly throughput_Ah: number;
  readonly capacity_Ah: number;
  readonly rmsVoltage_V: number;
  readonly depth: number;
}): { readonly capacityLoss: number; readonly resistanceGain: number } {
  const q_Ah = cycle.throughput_Ah * (REFERENCE_CELL_Ah / cycle.capacity_Ah);
  return {
    capacityLoss: betaCapacity(cycle.rmsVoltage_V, cycle.depth) * Math.sqrt(q_Ah),
    resistanceGain: betaResistance(cycle.rmsVoltage_V, cycle.depth) * q_Ah,
  };
}

/** Root-mean-square rested voltage of the 2014 paper's cell between two states of charge, V (Simpson, 64 intervals). */
export function rmsVoltage_V(fromSoc: number, toSoc: number): number {
  const width = toSoc - fromSoc;
  if (Math.abs(width) < 1e-9) return ageingVoltage_V(fromSoc);
  let sum = 0;
  for (let i = 0; i <= 64; i++) {
    const weight = i === 0 || i === 64 ? 1 : i % 2 === 1 ? 4 : 2;
    sum += weight * ageingVoltage_V(fromSoc + (width * i) / 64) ** 2;
  }
  return Math.sqrt(sum / 192);
}
