import { findRoot } from '../math/index.ts';
import type { Problem } from '../units/index.ts';
import { KELVIN_AT_0_degC, UserError, userError } from '../units/index.ts';
import type { DiodeParameters } from './diode.ts';
import type { ReferenceDiode } from './translate.ts';
import { BOLTZMANN_eV_K, REFERENCE_CELL_degC, SILICON_BAND_GAP_eV, tempVocOf } from './translate.ts';

/** A panel's data sheet at 1000 W/m² and 25 °C. Coefficients in percent of the 25 °C value per kelvin. */
export interface PanelSheet {
  readonly voc_V: number;
  readonly isc_A: number;
  readonly vmp_V: number;
  readonly imp_A: number;
  /** About +0.05 for silicon. */
  readonly tempIsc_pct_K: number;
  /** Negative, about −0.31 for silicon. */
  readonly tempVoc_pct_K: number;
  /**
   * Not fitted: the five figures and the Voc coefficient already fix the curve. `describeDiode` tells what follows from
   * them.
   */
  readonly tempPmp_pct_K?: number;
  /** Cells in series; guessed from Voc at 0.6 V a cell when absent. Only bounds the ideality. */
  readonly seriesCells?: number;
}

/** Thermal voltage kT/q of one cell at reference conditions, V. */
const THERMAL_V = BOLTZMANN_eV_K * (REFERENCE_CELL_degC + KELVIN_AT_0_degC);
/**
 * Open-circuit voltage of one silicon cell in full sun, V; used only to guess the number of cells (common practice, no
 * source).
 */
const TYPICAL_CELL_V = 0.6;
/**
 * Ideality factors that are tried: well-made silicon lies between 1 and 1.5, a rounded or skewed data sheet anywhere
 * (judgement).
 */
const LOWEST_IDEALITY = 0.3;
const HIGHEST_IDEALITY = 3;
/** Fill factor above which a data sheet is not believed: the best silicon cells reach some 0.86 (from memory). */
const HIGHEST_FILL = 0.88;
/** How far inside the attainable range the ideality is kept, so that neither resistance ends exactly at its limit. */
const INSIDE = 0.98;

/**
 * For a given slope a and series resistance the conditions at short circuit, open circuit and maximum-power point are
 * linear in the photocurrent, the saturation current and the shunt conductance. Exponentials are taken relative to
 * exp(Voc/a) so that none overflows. The shunt conductance may come out negative: then no such panel exists.
 */
function throughThreePoints(sheet: PanelSheet, slope_V: number, series_Ohm: number) {
  const { voc_V, isc_A, vmp_V, imp_A } = sheet;
  const atShort_V = isc_A * series_Ohm;
  const atBest_V = vmp_V + imp_A * series_Ohm;
  const short = -Math.expm1((atShort_V - voc_V) / slope_V);
  const best = -Math.expm1((atBest_V - voc_V) / slope_V);
  const determinant_V = short * (voc_V - atBest_V) - best * (voc_V - atShort_V);
  const scaled_A = (isc_A * (voc_V - atBest_V) - imp_A * (voc_V - atShort_V)) / determinant_V;
  const shunt_S = (short * imp_A - best * isc_A) / determinant_V;
  // Slope of the current along the junction voltage at the maximum-power point, sign turned.
  const growth_S = (scaled_A / slope_V) * Math.exp((atBest_V - voc_V) / slope_V) + shunt_S;
  // dP/dV = 0 there: Imp (1 + g·Rs) = Vmp·g. The rest is what is left of it, A.
  const rest_A = imp_A * (1 + growth_S * series_Ohm) - vmp_V * growth_S;
  return { scaled_A, shunt_S, rest_A };
}

/**
 * The circuit for a given slope a, or undefined when no pair of non-negative resistances meets the data sheet with it.
 */
function circuitFor(sheet: PanelSheet, slope_V: number): DiodeParameters | undefined {
  const solve = (series_Ohm: number) => throughThreePoints(sheet, slope_V, series_Ohm);
  if (solve(0).shunt_S < 0) return undefined;
  const largest_Ohm = ((sheet.voc_V - sheet.vmp_V) / sheet.imp_A) * (1 - 1e-9);
  const limit_Ohm = solve(largest_Ohm).shunt_S >= 0 ? largest_Ohm : findRoot((r) => solve(r).shunt_S, 0, largest_Ohm);
  const atZero_A = solve(0).rest_A;
  const atLimit_A = solve(limit_Ohm).rest_A;
  if (atZero_A > 0 === atLimit_A > 0) return undefined;
  const series_Ohm = findRoot((r) => solve(r).rest_A, 0, limit_Ohm, 1e-12 * limit_Ohm);
  const { scaled_A, shunt_S } = solve(series_Ohm);
  const saturation_A = scaled_A * Math.exp(-sheet.voc_V / slope_V);
  if (!(saturation_A > 0)) return undefined;
  return {
    slope_V,
    series_Ohm,
    saturation_A,
    shunt_Ohm: shunt_S > 0 ? 1 / shunt_S : Number.POSITIVE_INFINITY,
    photocurrent_A: saturation_A * Math.expm1(sheet.voc_V / slope_V) + Math.max(0, shunt_S) * sheet.voc_V,
  };
}

/**
 * Reference parameters that reproduce a data sheet.
 *
 * Source: the five conditions of De Soto, Klein & Beckman 2006 (short circuit, open circuit, maximum-power point, its
 * zero slope, and the Voc coefficient). With the slope a and Rs chosen the other three follow linearly; Rs is found
 * from the zero slope and a from the Voc coefficient, each by a bracketed root. Where the coefficient asks for a slope
 * that the four figures do not allow (rounded or optimistic data sheets), the nearest allowed slope is taken and the
 * band gap is bent until the coefficient is met. Valid for crystalline silicon panels of any size. Accuracy: the five
 * to 1e-6, the Voc coefficient to 0.001 %/K; checked on two published modules, a published fit and four generic panels.
 * How well the curve between those points follows a small panel: not validated. Throws UserError when no such panel can
 * exist.
 */
export function fitDiode(sheet: PanelSheet): ReferenceDiode {
  checkSheet(sheet);
  const cells = sheet.seriesCells ?? Math.max(1, Math.round(sheet.voc_V / TYPICAL_CELL_V));
  const lowest_V = LOWEST_IDEALITY * cells * THERMAL_V;
  const fill = (sheet.vmp_V * sheet.imp_A) / (sheet.voc_V * sheet.isc_A);
  if (fill > HIGHEST_FILL || circuitFor(sheet, lowest_V) === undefined) throw fillFactorProblem(sheet);
  let highest_V = lowest_V;
  let beyond_V = HIGHEST_IDEALITY * cells * THERMAL_V;
  if (circuitFor(sheet, beyond_V) !== undefined) highest_V = beyond_V;
  for (let i = 0; i < 40 && beyond_V - highest_V > 1e-9 * beyond_V; i++) {
    const middle_V = 0.5 * (highest_V + beyond_V);
    if (circuitFor(sheet, middle_V) === undefined) beyond_V = middle_V;
    else highest_V = middle_V;
  }
  highest_V = Math.max(lowest_V, highest_V * INSIDE);
  const reference = (slope_V: number, bandGap_eV: number): ReferenceDiode => {
    const circuit = circuitFor(sheet, slope_V);
    if (circuit === undefined) throw fillFactorProblem(sheet);
    // In percent, the photocurrent changes as Isc does.
    const tempIsc_A_K = (sheet.tempIsc_pct_K / 100) * circuit.photocurrent_A;
    return { ...circuit, tempIsc_A_K, bandGap_eV };
  };
  const miss = (slope_V: number, bandGap_eV: number) => tempVocOf(reference(slope_V, bandGap_eV)) - sheet.tempVoc_pct_K;
  // A larger slope makes the coefficient more negative.
  const lowMiss = miss(lowest_V, SILICON_BAND_GAP_eV);
  const highMiss = miss(highest_V, SILICON_BAND_GAP_eV);
  if (lowMiss > 0 && highMiss < 0) {
    const slope_V = findRoot((a) => miss(a, SILICON_BAND_GAP_eV), lowest_V, highest_V, 1e-9 * highest_V);
    return reference(slope_V, SILICON_BAND_GAP_eV);
  }
  const slope_V = lowMiss <= 0 ? lowest_V : highest_V;
  const bandGap_eV = findRoot((gap) => miss(slope_V, gap), 0.2, 4, 1e-9);
  return reference(slope_V, bandGap_eV);
}

function fillFactorProblem(sheet: PanelSheet): UserError {
  const fill = (sheet.vmp_V * sheet.imp_A) / (sheet.voc_V * sheet.isc_A);
  return userError(
    'panel-fill-factor',
    `Vmp ${sheet.vmp_V} V × Imp ${sheet.imp_A} A is ${fill.toFixed(2)} of Voc ${sheet.voc_V} V × Isc ${sheet.isc_A} A: ` +
      `no silicon panel's curve passes through these points (0.70 to 0.82 is usual, ${HIGHEST_FILL} the most); check the four figures`,
    { field: 'vmp_V' },
  );
}

/** Every reason why a data sheet cannot be true, told at once. */
function checkSheet(sheet: PanelSheet): void {
  const problems: Problem[] = [];
  const report = (field: keyof PanelSheet, code: string, message: string) =>
    problems.push({ code, message, place: { field } });
  for (const field of ['voc_V', 'isc_A', 'vmp_V', 'imp_A'] as const) {
    if (!(sheet[field] > 0 && Number.isFinite(sheet[field]))) {
      report(
        field,
        'panel-not-positive',
        `${field} is ${sheet[field]}: it must be above 0, as on the panel's data sheet`,
      );
    }
  }
  if (!(sheet.tempVoc_pct_K > -1 && sheet.tempVoc_pct_K < 0)) {
    const found = `tempVoc_pct_K is ${sheet.tempVoc_pct_K}`;
    report(
      'tempVoc_pct_K',
      'panel-temp-voc',
      `${found}: Voc falls when a panel warms, by some 0.3 % per kelvin; write about -0.31`,
    );
  }
  if (!(Math.abs(sheet.tempIsc_pct_K) <= 0.5)) {
    const found = `tempIsc_pct_K is ${sheet.tempIsc_pct_K}`;
    report('tempIsc_pct_K', 'panel-temp-isc', `${found}: Isc changes by less than 0.5 % per kelvin; write about 0.05`);
  }
  if (sheet.seriesCells !== undefined && !(Number.isInteger(sheet.seriesCells) && sheet.seriesCells > 0)) {
    report(
      'seriesCells',
      'panel-series-cells',
      `seriesCells is ${sheet.seriesCells}: it is a whole number of cells, 1 or more`,
    );
  }
  if (problems.length === 0) {
    if (sheet.vmp_V >= sheet.voc_V) {
      const found = `vmp_V ${sheet.vmp_V} is not below voc_V ${sheet.voc_V}`;
      report(
        'vmp_V',
        'panel-vmp-above-voc',
        `${found}: the voltage at maximum power lies at 75 to 85 % of Voc; are they swapped?`,
      );
    } else if (sheet.vmp_V <= 0.5 * sheet.voc_V) {
      const found = `vmp_V ${sheet.vmp_V} is not above half of voc_V ${sheet.voc_V}`;
      report('vmp_V', 'panel-vmp-too-low', `${found}: no diode has its maximum there; it lies at 75 to 85 % of Voc`);
    }
    if (sheet.imp_A >= sheet.isc_A) {
      const found = `imp_A ${sheet.imp_A} is not below isc_A ${sheet.isc_A}`;
      report(
        'imp_A',
        'panel-imp-above-isc',
        `${found}: the current at maximum power lies at 90 to 95 % of Isc; are they swapped?`,
      );
    } else if (sheet.imp_A <= 0.5 * sheet.isc_A) {
      const found = `imp_A ${sheet.imp_A} is not above half of isc_A ${sheet.isc_A}`;
      report('imp_A', 'panel-imp-too-low', `${found}: no diode has its maximum there; it lies at 90 to 95 % of Isc`);
    }
  }
  if (problems.length > 0) throw new UserError(problems);
}

/**
 * A data sheet for a panel of which only watts and the voltage at maximum power are known, by the ratios of generic
 * small silicon panels: Voc = 1.2 Vmp, Isc = 1.08 Imp, +0.05, −0.31 and −0.42 %/K (typical market values, from memory;
 * power of small panels is often 10 % off its label). Throws UserError when either figure is not above 0.
 */
export function typicalFromWatts(panel: { readonly power_W: number; readonly vmp_V: number }): PanelSheet {
  const problems: Problem[] = [];
  for (const field of ['power_W', 'vmp_V'] as const) {
    if (!(panel[field] > 0 && Number.isFinite(panel[field]))) {
      const message = `${field} is ${panel[field]}: it must be above 0, as printed on the panel`;
      problems.push({ code: 'panel-not-positive', message, place: { field } });
    }
  }
  if (problems.length > 0) throw new UserError(problems);
  const imp_A = panel.power_W / panel.vmp_V;
  return {
    voc_V: 1.2 * panel.vmp_V,
    isc_A: 1.08 * imp_A,
    vmp_V: panel.vmp_V,
    imp_A,
    tempIsc_pct_K: 0.05,
    tempVoc_pct_K: -0.31,
    tempPmp_pct_K: -0.42,
  };
}
