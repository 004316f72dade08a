import type { DiodeParameters } from '../panel/index.ts';
import { currentAt, maximumPoint, openCircuit, REFERENCE_CELL_degC, translate } from '../panel/index.ts';
import type { ChargerModel, DiodePanel, FlatPanel, PanelModel } from './model.ts';
import { efficiencyAt, inputVoltage } from './model.ts';

/** What one panel gives a charger: its own voltage and current, and what reaches the charger's input. */
export interface PanelPoint {
  readonly panel_V: number;
  readonly panel_A: number;
  /** Voltage at the charger's input, behind the blocking diode. */
  readonly input_V: number;
}

/**
 * Where on its curve a charger holds a panel. The current is negative where the panel would have to be fed to stand
 * there; it is left so on purpose, since a table of it then has no kink, and is cut at zero when used.
 */
export function operatingPoint(
  diode: DiodeParameters,
  drop_V: number,
  charger: ChargerModel,
  battery_V: number,
): PanelPoint {
  if (charger.kind === 'tracking' || charger.kind === 'flat') {
    const best = maximumPoint(diode, drop_V);
    return { panel_V: best.voltage_V, panel_A: best.current_A, input_V: Math.max(0, best.voltage_V - drop_V) };
  }
  const input_V =
    charger.kind === 'voc-fraction'
      ? charger.vocFraction * Math.max(0, openCircuit(diode) - drop_V)
      : inputVoltage(charger, battery_V)!;
  const panel_V = input_V + drop_V;
  return { panel_V, panel_A: currentAt(diode, panel_V), input_V };
}

/**
 * Power of a panel that has no curve, W: P = power·G/1000·(1 + coefficient·(Tc − 25)), never below 0. Common practice.
 */
export function flatPower_W(panel: FlatPanel, irradiance_W_m2: number, cell_degC: number): number {
  const warmth = 1 + (panel.temperatureCoefficient_pct_K / 100) * (cell_degC - REFERENCE_CELL_degC);
  return Math.max(0, (panel.power_W * irradiance_W_m2 * warmth) / 1000);
}

/** Share of the panel's power that a charger's search finds. */
export function trackingShare(charger: ChargerModel): number {
  return charger.kind === 'tracking' || charger.kind === 'voc-fraction' ? (charger.trackingEfficiency ?? 1) : 1;
}

/** Says that a panel without a curve cannot serve a charger that asks for a voltage. */
export function requireCurve(charger: ChargerModel): void {
  if (charger.kind !== 'flat' && charger.kind !== 'tracking') {
    throw new RangeError(`a '${charger.kind}' charger needs a panel with a curve; this one has watts only`);
  }
}

/**
 * What a panel gives at the input of a charger, before conversion: current in A for a linear charger, power in W for
 * all others. Sums over panels on the same charger: each stands at the charger's input voltage plus its own blocking
 * diode. For `tracking` the panels' own maxima are summed, which is optimistic where they are tilted differently (one
 * input has one voltage), by a percent or so since the maximum is broad and Vmp hardly moves with light. For
 * `voc-fraction` each panel is taken at its own fraction, with the same remark.
 */
export function rawHarvest(
  panel: PanelModel,
  charger: ChargerModel,
  irradiance_W_m2: number,
  cell_degC: number,
  battery_V: number,
): number {
  if (panel.kind === 'flat') {
    requireCurve(charger);
    return flatPower_W(panel, irradiance_W_m2, cell_degC) * trackingShare(charger);
  }
  if (!(irradiance_W_m2 > 0)) return 0;
  return Math.max(0, signedHarvest(panel, charger, irradiance_W_m2, cell_degC, battery_V));
}

/**
 * Deepest negative current that `signedHarvest` gives, in photocurrents at full sun: far from zero, yet fit for a
 * Float32Array.
 */
const DEEPEST = 2;

/** `rawHarvest` of a panel with a curve, not cut at zero but at twice its full current the other way. */
export function signedHarvest(
  panel: DiodePanel,
  charger: ChargerModel,
  irradiance_W_m2: number,
  cell_degC: number,
  battery_V: number,
): number {
  const diode = translate(panel.reference, irradiance_W_m2, cell_degC);
  const point = operatingPoint(diode, panel.blockingDiode_V ?? 0, charger, battery_V);
  const current_A = Math.max(point.panel_A, -DEEPEST * panel.reference.photocurrent_A);
  return charger.kind === 'linear' ? current_A : current_A * point.input_V * trackingShare(charger);
}

/** Power into the battery that the current limit allows, W; Infinity without a limit. */
export function currentCap_W(charger: ChargerModel, battery_V: number): number {
  return charger.currentLimit_A === undefined ? Number.POSITIVE_INFINITY : charger.currentLimit_A * battery_V;
}

/**
 * Power into the battery from the summed raw harvest of all panels (A for a linear charger, W for others): conversion,
 * then the limit. Linear: P = I·V_battery. Others: P = P_in·efficiency(P_in). Every kind is then cut at
 * currentLimit·V_battery.
 */
export function convertHarvest(charger: ChargerModel, raw: number, battery_V: number): number {
  const power_W = charger.kind === 'linear' ? raw * battery_V : raw * efficiencyAt(charger.efficiency, raw);
  return Math.min(power_W, currentCap_W(charger, battery_V));
}

/**
 * A panel and charger at one moment. `panel_V` and `panel_A` are those before the current limit pushes the panel up its
 * curve.
 */
export interface Harvest {
  readonly panel_V: number;
  readonly panel_A: number;
  readonly battery_W: number;
}

/**
 * What one panel on one charger brings into the battery at an irradiance, cell temperature and battery voltage.
 *
 * Source: De Soto et al. 2006 for the panel; the charger's rule is the definition of its kind. Valid for irradiance ≥
 * 0. Where the panel cannot reach the voltage asked of it the harvest is 0. Own consumption, the ceiling and
 * temperature windows are not in here. Accuracy: that of the panel model. Checked on test/golden/charger-harvest.csv
 * (0.5 % of maximum power). Not validated against measured chargers. A panel without a curve has no voltage: NaN stands
 * there.
 */
export function harvestAt(
  panel: PanelModel,
  charger: ChargerModel,
  irradiance_W_m2: number,
  cell_degC: number,
  battery_V: number,
): Harvest {
  const raw = rawHarvest(panel, charger, irradiance_W_m2, cell_degC, battery_V);
  const battery_W = convertHarvest(charger, raw, battery_V);
  if (panel.kind === 'flat') return { panel_V: Number.NaN, panel_A: Number.NaN, battery_W };
  const diode = translate(panel.reference, Math.max(0, irradiance_W_m2), cell_degC);
  const point = operatingPoint(diode, panel.blockingDiode_V ?? 0, charger, battery_V);
  if (point.panel_A > 0) return { panel_V: point.panel_V, panel_A: point.panel_A, battery_W };
  return { panel_V: openCircuit(diode), panel_A: 0, battery_W };
}
