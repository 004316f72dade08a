import type { Interval } from '../core/math/index.ts';
import type { Choice } from './threshold-choice.ts';

/** What a choice of thresholds does, for a nominal unit with its cells as put up and for the worst unit with old cells. */
export interface ThresholdRow extends Choice {
  readonly ceiling_soc: number;
  readonly dark_h_per_year: number;
  readonly darkYearShare: Interval;
  readonly spells_per_year: number;
  readonly falseRestarts_per_year: number;
  readonly lockUps_per_year: number;
  /** Lowest rested voltage of the cells (warm), V. */
  readonly lowest_V: number;
  readonly autonomy_d: number;
  readonly yearsTo80: { readonly low: number; readonly high: number } | null;
  /** The same in the corner of smallest gap, aged. */
  readonly corner: {
    readonly dark_h_per_year: number;
    readonly darkYearShare: Interval;
    readonly spells_per_year: number;
    readonly falseRestarts_per_year: number;
    readonly lockUps_per_year: number;
    readonly lowest_V: number;
    /** What is left of the gap between the thresholds, mV. */
    readonly margin_mV: number;
  };
  /** Run on all years; otherwise on a part of the seasons. */
  readonly proven: boolean;
  /** What speaks against it; empty for a sound choice. */
  readonly wanting: readonly Want[];
}

/** Demands that a choice can miss. */
export type Want =
  | 'cut-off below the safe voltage'
  | 'gap too small'
  | 'false restarts'
  | 'may never come back'
  | 'cells drained too far';

export interface Alternative extends ThresholdRow {
  readonly change: string;
  /** What it buys and costs against the recommended choice, in words. */
  readonly cost: string;
}

/** The kit as it stands, when it has no cut-off. */
export interface WithoutCutoff {
  readonly dark_h_per_year: number;
  readonly darkYearShare: Interval;
  readonly lockUps_per_year: number;
  readonly spells_per_year: number;
  readonly lowest_V: number;
}

/** Dark hours over the life: the mean of a nominal unit as put up and of the worst one with old cells. */
const darkness = (row: ThresholdRow) => (row.dark_h_per_year + row.corner.dark_h_per_year) / 2;
/** Differences in dark hours below both of these count as none. */
const SAME_DARK = { share: 0.05, hours: 0.5 };

/**
 * Order of preference: no demand missed; least dark hours (within 5 % or half an hour a year all are alike); longest
 * life; fewest restarts; longest autonomy; smallest gap, since it comes back soonest.
 */
export function rankRows(rows: readonly ThresholdRow[]): ThresholdRow[] {
  const fewest = Math.min(...rows.map((r) => r.wanting.length));
  const sound = rows.filter((r) => r.wanting.length === fewest);
  const least = Math.min(...sound.map(darkness));
  const limit = Math.max(least * (1 + SAME_DARK.share), least + SAME_DARK.hours);
  const life = (r: ThresholdRow) => r.yearsTo80?.low ?? 0;
  const band = (r: ThresholdRow) => (darkness(r) <= limit ? 0 : darkness(r));
  const restarts = (r: ThresholdRow) => r.spells_per_year + r.corner.spells_per_year;
  return [...sound].sort(
    (a, b) =>
      band(a) - band(b) ||
      Math.round(10 * (life(b) - life(a))) ||
      restarts(a) - restarts(b) ||
      b.autonomy_d - a.autonomy_d ||
      a.reconnect_V - b.reconnect_V,
  );
}
