/** The five parameters of the single-diode circuit of a whole panel at one irradiance and cell temperature. */
export interface DiodeParameters {
  /** Photocurrent, A, ≥ 0. */
  readonly photocurrent_A: number;
  /** Saturation current of the diode, A, > 0. */
  readonly saturation_A: number;
  /** Series resistance, Ω, ≥ 0. */
  readonly series_Ohm: number;
  /** Shunt resistance, Ω, > 0, may be Infinity. */
  readonly shunt_Ohm: number;
  /** Modified ideality factor a = n·Ns·k·T/q, V, > 0. */
  readonly slope_V: number;
}

/** A point on the curve at the panel's terminals; `power_W` is counted behind the series drop that was asked for. */
export interface OperatingPoint {
  readonly voltage_V: number;
  readonly current_A: number;
  readonly power_W: number;
}

const MAX_STEPS = 120;

/**
 * Current out of the terminals, as a function of the voltage of the inner junction, V_d = V + I·Rs:
 *   I = I_L − I_0 (exp(V_d/a) − 1) − V_d/R_sh          (1)  (De Soto, Klein & Beckman 2006)
 * With V_d as the variable both I and V = V_d − I·Rs are explicit and monotone, so that every question below is one
 * equation in one unknown with a known bracket and closed derivatives.
 */
function junctionCurrent(d: DiodeParameters, junction_V: number): number {
  return (
    d.photocurrent_A - d.saturation_A * Math.expm1(junction_V / d.slope_V) - junction_V / d.shunt_Ohm // (1)
  );
}

/**
 * Current at a terminal voltage, A; negative above the open-circuit voltage (a panel that is being fed).
 *
 * Source: De Soto, Klein & Beckman 2006, Solar Energy 80:78-88, the current-voltage equation (1) above, solved by
 * Newton's method. g(V_d) = V_d − Rs·I(V_d) − V is convex and rising, and the start lies right of the root, so the
 * steps fall to it without overshooting. Valid for any voltage and parameters of the stated signs. Accuracy: rounding.
 * Checked against the published suites in test/golden/panel-diode-*.csv.
 */
export function currentAt(diode: DiodeParameters, voltage_V: number): number {
  const { photocurrent_A, saturation_A, series_Ohm, slope_V, shunt_Ohm } = diode;
  const direct_A = junctionCurrent(diode, voltage_V);
  if (series_Ohm === 0 || direct_A === 0) return direct_A;
  // Two bounds above the root: I falls with V_d, and the diode alone cannot carry more than I_L + V/Rs.
  let junction_V = direct_A > 0 ? voltage_V + series_Ohm * direct_A : voltage_V;
  const reach = (photocurrent_A + voltage_V / series_Ohm) / saturation_A;
  if (reach > 0) junction_V = Math.min(junction_V, slope_V * Math.log1p(reach));
  for (let i = 0; i < MAX_STEPS; i++) {
    const diode_A = saturation_A * Math.exp(junction_V / slope_V);
    const current_A = photocurrent_A - diode_A + saturation_A - junction_V / shunt_Ohm; // (1)
    const miss_V = junction_V - series_Ohm * current_A - voltage_V;
    const rise = 1 + series_Ohm * (diode_A / slope_V + 1 / shunt_Ohm);
    const step_V = miss_V / rise;
    junction_V -= step_V;
    if (Math.abs(step_V) <= 1e-13 * (slope_V + Math.abs(junction_V))) break;
  }
  return junctionCurrent(diode, junction_V);
}

/**
 * Open-circuit voltage, V: the voltage at which `currentAt` is zero; 0 in the dark. Newton from above on a concave
 * falling function.
 */
export function openCircuit(diode: DiodeParameters): number {
  const { photocurrent_A, saturation_A, slope_V, shunt_Ohm } = diode;
  if (!(photocurrent_A > 0)) return 0;
  let voltage_V = Math.min(slope_V * Math.log1p(photocurrent_A / saturation_A), photocurrent_A * shunt_Ohm);
  for (let i = 0; i < MAX_STEPS; i++) {
    const current_A = junctionCurrent(diode, voltage_V);
    const slope_S = (saturation_A / slope_V) * Math.exp(voltage_V / slope_V) + 1 / shunt_Ohm;
    const step_V = current_A / slope_S;
    voltage_V += step_V;
    if (Math.abs(step_V) <= 1e-13 * voltage_V) break;
  }
  return voltage_V;
}

/** Short-circuit current, A. */
export function shortCircuit(diode: DiodeParameters): number {
  return currentAt(diode, 0);
}

/**
 * The point of largest power, counted behind a constant voltage drop (a blocking diode) where one is given:
 * the maximum of I·(V − drop). Zero power where the panel cannot rise above the drop.
 *
 * Source: d(I·V)/dV = 0 on equation (1). The power is concave in V, so its derivative along V_d changes sign
 * once between V_d = drop and open circuit; Newton's steps are kept inside that bracket, with bisection behind them.
 * Accuracy: 1e-9 of the voltage. Checked against published points in test/golden/panel-diode-*.csv.
 */
export function maximumPoint(diode: DiodeParameters, drop_V = 0): OperatingPoint {
  const { saturation_A, series_Ohm, slope_V, shunt_Ohm } = diode;
  const open_V = openCircuit(diode);
  if (!(open_V > drop_V)) return { voltage_V: open_V, current_A: 0, power_W: 0 };
  let low_V = drop_V;
  let high_V = open_V;
  // The ideal diode's V_mp ≈ V_oc − a ln(1 + V_oc/a) is a close first guess.
  let junction_V = Math.max(0.5 * (low_V + high_V), open_V - slope_V * Math.log1p(open_V / slope_V));
  for (let i = 0; i < MAX_STEPS; i++) {
    const growth_S = (saturation_A / slope_V) * Math.exp(junction_V / slope_V);
    const current_A = junctionCurrent(diode, junction_V);
    const currentSlope_S = -growth_S - 1 / shunt_Ohm;
    const useful_V = junction_V - series_Ohm * current_A - drop_V;
    const voltageSlope = 1 - series_Ohm * currentSlope_S;
    const powerSlope = currentSlope_S * useful_V + current_A * voltageSlope;
    if (powerSlope > 0) low_V = junction_V;
    else high_V = junction_V;
    const currentBend = -growth_S / slope_V;
    const powerBend = currentBend * useful_V + 2 * currentSlope_S * voltageSlope - series_Ohm * currentBend * current_A;
    let next_V = junction_V - powerSlope / powerBend;
    if (!(next_V > low_V && next_V < high_V)) next_V = 0.5 * (low_V + high_V);
    const moved_V = Math.abs(next_V - junction_V);
    junction_V = next_V;
    if (moved_V <= 1e-10 * open_V) break;
  }
  const current_A = junctionCurrent(diode, junction_V);
  const voltage_V = junction_V - series_Ohm * current_A;
  return { voltage_V, current_A, power_W: current_A * (voltage_V - drop_V) };
}
