import { KELVIN_AT_0_degC } from '../units/index.ts';
import type { DiodeParameters } from './diode.ts';
import { maximumPoint, openCircuit, shortCircuit } from './diode.ts';

/** The five parameters at 1000 W/m² and 25 °C, with what carries them to other conditions. */
export interface ReferenceDiode extends DiodeParameters {
  /** Temperature coefficient of the photocurrent, A/K. */
  readonly tempIsc_A_K: number;
  /**
   * Band gap at 25 °C, eV; 1.121 for silicon (De Soto et al. 2006). A fit may bend it to meet a given Voc coefficient.
   */
  readonly bandGap_eV: number;
}

/** Irradiance of the reference conditions, W/m² (IEC 61215 standard test conditions). */
export const REFERENCE_IRRADIANCE_W_m2 = 1000;
/** Cell temperature of the reference conditions, °C (IEC 61215 standard test conditions). */
export const REFERENCE_CELL_degC = 25;
/** Band gap of silicon at 25 °C, eV (De Soto et al. 2006). */
export const SILICON_BAND_GAP_eV = 1.121;
/** Relative change of silicon's band gap, 1/K (De Soto et al. 2006). */
const BAND_GAP_SLOPE_K = 0.0002677;
/** Boltzmann constant over the elementary charge, eV/K (exact SI constants 2019: 1.380649e-23 / 1.602176634e-19). */
export const BOLTZMANN_eV_K = 8.617333262e-5;

/**
 * Carries the reference parameters to an irradiance and a cell temperature.
 *
 * Source: De Soto, Klein & Beckman 2006, Solar Energy 80:78-88, with the air-mass modifier left at 1; lettered here:
 *   (a) a = a_ref·T/T_ref   (b) I_L = (S/S_ref)(I_L,ref + α(T − T_ref))
 *   (c) I_0 = I_0,ref (T/T_ref)³ exp[(E_g,ref/T_ref − E_g/T)/k]
 *   (d) E_g = E_g,ref [1 − 0.0002677 (T − T_ref)]   (e) R_sh = R_sh,ref·S_ref/S   (f) R_s = R_s,ref
 * Valid for irradiance ≥ 0 (0 gives no photocurrent and an infinite shunt) and cells from −60 to 120 °C. Accuracy: a
 * few percent of power against outdoor measurement of full-size modules (from memory). For panels of a few watts: not
 * validated. Checked here on test/golden/panel-translated.csv (0.3 %).
 */
export function translate(reference: ReferenceDiode, irradiance_W_m2: number, cell_degC: number): DiodeParameters {
  const share = irradiance_W_m2 / REFERENCE_IRRADIANCE_W_m2;
  const warmer_K = cell_degC - REFERENCE_CELL_degC;
  const reference_K = REFERENCE_CELL_degC + KELVIN_AT_0_degC;
  const cell_K = cell_degC + KELVIN_AT_0_degC;
  const ratio = cell_K / reference_K;
  const gap_eV = reference.bandGap_eV * (1 - BAND_GAP_SLOPE_K * warmer_K); // (d)
  const exponent = (reference.bandGap_eV / reference_K - gap_eV / cell_K) / BOLTZMANN_eV_K;
  return {
    slope_V: reference.slope_V * ratio, // (a)
    photocurrent_A: Math.max(0, share * (reference.photocurrent_A + reference.tempIsc_A_K * warmer_K)), // (b)
    saturation_A: reference.saturation_A * ratio ** 3 * Math.exp(exponent), // (c)
    shunt_Ohm: share > 0 ? reference.shunt_Ohm / share : Number.POSITIVE_INFINITY, // (e)
    series_Ohm: reference.series_Ohm, // (f)
  };
}

/**
 * The same panel with all its currents multiplied, as if `factor` of it stood in parallel: for a measured power,
 * ageing, tolerance, or another size of the same make. Currents at every voltage scale exactly; voltages stay.
 */
export function scaleDiode(reference: ReferenceDiode, factor: number): ReferenceDiode {
  if (!(factor > 0 && Number.isFinite(factor))) throw new RangeError(`scaleDiode: factor ${factor} must be above 0`);
  return {
    ...reference,
    photocurrent_A: reference.photocurrent_A * factor,
    saturation_A: reference.saturation_A * factor,
    series_Ohm: reference.series_Ohm / factor,
    shunt_Ohm: reference.shunt_Ohm / factor,
    tempIsc_A_K: reference.tempIsc_A_K * factor,
  };
}

/**
 * What a data sheet would say of a diode: the five figures at reference conditions and the temperature coefficients
 * about 25 °C.
 */
export interface DiodeFigures {
  readonly voc_V: number;
  readonly isc_A: number;
  readonly vmp_V: number;
  readonly imp_A: number;
  readonly power_W: number;
  readonly fillFactor: number;
  readonly tempVoc_pct_K: number;
  readonly tempIsc_pct_K: number;
  readonly tempPmp_pct_K: number;
}

/**
 * Half the span over which temperature coefficients are taken, K (De Soto et al. 2006 use 1 to 10 K with no
 * difference).
 */
const COEFFICIENT_SPAN_K = 10;

/** Voc coefficient of a reference diode, %/K, as the slope between 15 and 35 °C. */
export function tempVocOf(reference: ReferenceDiode): number {
  const at = (cell_degC: number) => openCircuit(translate(reference, REFERENCE_IRRADIANCE_W_m2, cell_degC));
  const low_V = at(REFERENCE_CELL_degC - COEFFICIENT_SPAN_K);
  const high_V = at(REFERENCE_CELL_degC + COEFFICIENT_SPAN_K);
  return (100 * (high_V - low_V)) / (2 * COEFFICIENT_SPAN_K * openCircuit(reference));
}

/** The data-sheet figures that the model gives for a reference diode. */
export function describeDiode(reference: ReferenceDiode): DiodeFigures {
  const at = (cell_degC: number) => translate(reference, REFERENCE_IRRADIANCE_W_m2, cell_degC);
  const cold = at(REFERENCE_CELL_degC - COEFFICIENT_SPAN_K);
  const hot = at(REFERENCE_CELL_degC + COEFFICIENT_SPAN_K);
  const voc_V = openCircuit(reference);
  const isc_A = shortCircuit(reference);
  const best = maximumPoint(reference);
  const perK = 100 / (2 * COEFFICIENT_SPAN_K);
  return {
    voc_V,
    isc_A,
    vmp_V: best.voltage_V,
    imp_A: best.current_A,
    power_W: best.power_W,
    fillFactor: best.power_W / (voc_V * isc_A),
    tempVoc_pct_K: tempVocOf(reference),
    tempIsc_pct_K: ((shortCircuit(hot) - shortCircuit(cold)) / isc_A) * perK,
    tempPmp_pct_K: ((maximumPoint(hot).power_W - maximumPoint(cold).power_W) / best.power_W) * perK,
  };
}
