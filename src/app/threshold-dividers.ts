import { type Divider, dividerFor, type HysteresisDivider, hysteresisDivider } from '../core/charger/index.ts';
import { userError } from '../core/units/index.ts';
import type { Supply } from './supply.ts';
import type { Choice, CornerSpec } from './threshold-choice.ts';

export const DEFAULT_REFERENCE_V = 1.2;

export interface DividerRequest {
  /** Voltage of the comparator's reference, V. */
  readonly reference_V?: number | undefined;
  /** One series of resistors; both when absent. */
  readonly series?: 'E24' | 'E96' | undefined;
}

/** The resistors that set the recommended voltages. */
export interface DividerAnswer {
  readonly reference_V: number;
  /** Best string of three resistors of each series for cut-off and reconnect. */
  readonly dividers: readonly (HysteresisDivider & { readonly series: 'E24' | 'E96'; readonly note: string })[];
  /** Best pair of each series for the ceiling, where the charger takes one. */
  readonly ceilingDividers: readonly (Divider & { readonly series: 'E24' | 'E96' })[];
}

/** Divider values for a choice, with their worst case over the temperatures of the place. */
export function dividersOf(choice: Choice, corner: CornerSpec, supply: Supply, request: DividerRequest): DividerAnswer {
  const reference_V = request.reference_V ?? DEFAULT_REFERENCE_V;
  if (!(reference_V > 0.1 && reference_V < choice.cutoff_V))
    throw userError(
      'reference-range',
      `--reference is ${reference_V}: the comparator's reference lies above 0.1 V and below the cut-off of ${choice.cutoff_V} V, e.g. ${DEFAULT_REFERENCE_V}`,
      { field: '--reference' },
    );
  const hottest_degC = supply.hours.cell_degC.reduce((most, t) => Math.max(most, t), -100);
  const span_K = Math.ceil(Math.max(25 - corner.coldest_degC, hottest_degC - 25, 10));
  const all = request.series === undefined ? (['E96', 'E24'] as const) : [request.series];
  const target = { cutOff_V: choice.cutoff_V, reconnect_V: choice.reconnect_V, reference_V };
  return {
    reference_V,
    dividers: all.map((series) => {
      const best = hysteresisDivider(target, { series, span_K }, 1)[0]!;
      return { series, ...best, note: noteOn(best, corner) };
    }),
    ceilingDividers: all.map((series) => ({
      series,
      ...dividerFor(choice.ceiling_V, reference_V, { series, span_K }, 1)[0]!,
    })),
  };
}

/** Whether a string of plain 1 % parts keeps the gap, and how its thresholds compare with the tolerance of the kit. */
function noteOn(d: HysteresisDivider, corner: CornerSpec): string {
  const eaten_mV = corner.chargeLift_mV + corner.restartDrop_mV;
  const left_mV = 1000 * d.leastGap_V - eaten_mV;
  const off_mV =
    1000 * Math.max(d.cutOff.worstHigh_V - d.cutOff.nominal_V, d.reconnect.worstHigh_V - d.reconnect.nominal_V);
  const gap =
    left_mV >= 0
      ? `with parts of 1 % the gap stays ${Math.round(left_mV)} mV wider than charge and restart need`
      : `with parts of 1 % the gap may fall short by ${Math.round(-left_mV)} mV: take resistors of 0.1 %`;
  const allowed_mV = corner.tolerance_mV + corner.drift_mV;
  const spread =
    off_mV > allowed_mV
      ? `; a threshold may lie ${Math.round(off_mV)} mV off, more than the ${Math.round(allowed_mV)} mV counted with: measure each unit, or take parts of 0.1 % and a reference of 0.5 %`
      : `; a threshold lies at most ${Math.round(off_mV)} mV off`;
  return gap + spread;
}
