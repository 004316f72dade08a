import type { ReferenceDiode } from '../panel/index.ts';
import { maximumPoint } from '../panel/index.ts';
import { userError } from '../units/index.ts';

/** Efficiency at an input power; a list of them, rising in power, is read linearly between and held beyond its ends. */
export interface EfficiencyPoint {
  readonly power_W: number;
  readonly efficiency: number;
}

export type Efficiency = number | readonly EfficiencyPoint[];

/**
 * Takes the panel's current straight to the battery. The panel is held at `inputVoltage_V` when that regulation exists,
 * or dragged down to the battery and the dropout, whichever is higher. Efficiency is V_battery/V_panel by nature.
 */
export interface LinearCharger {
  readonly kind: 'linear';
  readonly inputVoltage_V?: number;
  /** Least voltage between input and battery, V. */
  readonly dropout_V: number;
  readonly currentLimit_A?: number;
}

/** A converter that holds its input at one voltage, set by a resistor. */
export interface FixedInputCharger {
  readonly kind: 'fixed-input';
  readonly inputVoltage_V: number;
  readonly efficiency: Efficiency;
  readonly currentLimit_A?: number;
}

/** A converter that holds its input at a share of the open-circuit voltage that it samples now and then. */
export interface VocFractionCharger {
  readonly kind: 'voc-fraction';
  readonly vocFraction: number;
  readonly efficiency: Efficiency;
  /** Share of the harvest left after the pauses for sampling; 1 by default. */
  readonly trackingEfficiency?: number;
  readonly currentLimit_A?: number;
}

/** A converter that seeks the maximum-power point. */
export interface TrackingCharger {
  readonly kind: 'tracking';
  /** Share of the maximum power that the search finds; 0.96-0.99 (Hohm & Ropp 2003, from memory). */
  readonly trackingEfficiency?: number;
  readonly efficiency: Efficiency;
  readonly currentLimit_A?: number;
}

/** The plain mode: a constant share of the panel's power, whatever its voltage. */
export interface FlatCharger {
  readonly kind: 'flat';
  readonly efficiency: Efficiency;
  readonly currentLimit_A?: number;
}

export type ChargerModel = LinearCharger | FixedInputCharger | VocFractionCharger | TrackingCharger | FlatCharger;

/** A panel with a curve, and the drop of its own blocking diode. */
export interface DiodePanel {
  readonly kind: 'diode';
  readonly reference: ReferenceDiode;
  /** Forward drop of the blocking diode, V; 0 when there is none. */
  readonly blockingDiode_V?: number;
}

/**
 * A panel without a curve: P = power·G/1000·(1 + coefficient·(Tc − 25)), never below 0. Serves `flat` and `tracking`
 * chargers only.
 */
export interface FlatPanel {
  readonly kind: 'flat';
  readonly power_W: number;
  /** About −0.4. */
  readonly temperatureCoefficient_pct_K: number;
}

export type PanelModel = DiodePanel | FlatPanel;

/** Efficiency at an input power, 0..1. Linear between the points of a curve, held at its ends. */
export function efficiencyAt(efficiency: Efficiency, power_W: number): number {
  if (typeof efficiency === 'number') return efficiency;
  const last = efficiency.length - 1;
  if (!(power_W > efficiency[0]!.power_W)) return efficiency[0]!.efficiency;
  for (let i = 1; i <= last; i++) {
    const right = efficiency[i]!;
    if (power_W < right.power_W) {
      const left = efficiency[i - 1]!;
      const share = (power_W - left.power_W) / (right.power_W - left.power_W);
      return left.efficiency + share * (right.efficiency - left.efficiency);
    }
  }
  return efficiency[last]!.efficiency;
}

/**
 * Voltage at which a charger holds its input when the battery stands at `battery_V`; undefined where it depends on the
 * panel.
 */
export function inputVoltage(charger: ChargerModel, battery_V: number): number | undefined {
  if (charger.kind === 'linear') return Math.max(charger.inputVoltage_V ?? 0, battery_V + charger.dropout_V);
  return charger.kind === 'fixed-input' ? charger.inputVoltage_V : undefined;
}

/** Whether a panel reaches the voltage that a charger asks of it. */
export interface Reach {
  /** Vmp is at or above what is needed: the full current is there up to a full battery. */
  readonly reaches: boolean;
  /** Not even the open-circuit voltage gets there: nothing is ever harvested at this battery voltage. */
  readonly never: boolean;
  /** Voltage asked of the panel, its blocking diode included, V. */
  readonly needed_V: number;
  readonly vmp_V: number;
}

/**
 * Compares a panel's Vmp (and Voc where known) with what a charger needs to bring the battery to `ceiling_V`. A charger
 * that sets its input by the panel itself (`voc-fraction`, `tracking`, `flat`) always reaches. Figures at 25 °C; a hot
 * panel has some 12 % less.
 */
export function canReach(
  panel: { readonly vmp_V: number; readonly voc_V?: number; readonly blockingDiode_V?: number },
  charger: ChargerModel,
  ceiling_V: number,
): Reach {
  const input_V = inputVoltage(charger, ceiling_V);
  const needed_V = input_V === undefined ? 0 : input_V + (panel.blockingDiode_V ?? 0);
  const highest_V = panel.voc_V ?? Number.POSITIVE_INFINITY;
  return { reaches: panel.vmp_V >= needed_V, never: highest_V <= needed_V, needed_V, vmp_V: panel.vmp_V };
}

/** Throws a UserError when a charger's figures cannot be true: called once before a table is built, never in a loop. */
export function checkCharger(charger: ChargerModel): void {
  const wrong = (field: string, message: string) => userError(`charger-${field}`, message, { field });
  if (charger.currentLimit_A !== undefined && !(charger.currentLimit_A > 0)) {
    throw wrong(
      'currentLimit_A',
      `currentLimit_A is ${charger.currentLimit_A}: it must be above 0; leave it out for no limit`,
    );
  }
  if (charger.kind === 'linear') {
    if (!(charger.dropout_V >= 0)) {
      throw wrong('dropout_V', `dropout_V is ${charger.dropout_V}: it must not be negative; 0.1 to 0.3 V is usual`);
    }
    return;
  }
  if (charger.kind === 'fixed-input' && !(charger.inputVoltage_V > 0)) {
    throw wrong(
      'inputVoltage_V',
      `inputVoltage_V is ${charger.inputVoltage_V}: it must be above 0, near the panel's Vmp`,
    );
  }
  if (charger.kind === 'voc-fraction' && !(charger.vocFraction > 0 && charger.vocFraction < 1)) {
    throw wrong('vocFraction', `vocFraction is ${charger.vocFraction}: it lies between 0 and 1; 0.8 is usual`);
  }
  if (charger.kind === 'tracking' || charger.kind === 'voc-fraction') {
    const share = charger.trackingEfficiency ?? 1;
    if (!(share > 0 && share <= 1)) {
      throw wrong(
        'trackingEfficiency',
        `trackingEfficiency is ${share}: it is a share above 0 and up to 1; 0.97 is usual`,
      );
    }
  }
  const points =
    typeof charger.efficiency === 'number' ? [{ power_W: 0, efficiency: charger.efficiency }] : charger.efficiency;
  if (points.length === 0)
    throw wrong('efficiency', 'efficiency is an empty list: give a share such as 0.88, or points');
  points.forEach((point, i) => {
    if (!(point.efficiency > 0 && point.efficiency <= 1)) {
      throw wrong(
        'efficiency',
        `efficiency is ${point.efficiency}: it is a share above 0 and up to 1; 0.85 to 0.93 is usual`,
      );
    }
    if (i > 0 && !(point.power_W > points[i - 1]!.power_W)) {
      throw wrong(
        'efficiency',
        `efficiency points must rise in power_W: ${point.power_W} follows ${points[i - 1]!.power_W}`,
      );
    }
  });
}

/** Maximum power of a panel at reference conditions, W. */
export function nominalPower_W(panel: PanelModel): number {
  return panel.kind === 'flat' ? panel.power_W : maximumPoint(panel.reference).power_W;
}
