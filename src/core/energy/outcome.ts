import type { Interval } from '../math/index.ts';

/** Energy budget of a stretch of hours; harvest = load + curtailed + losses + stored + error. */
export interface EnergyBudget {
  readonly harvest_Wh: number;
  readonly load_Wh: number;
  readonly curtailed_Wh: number;
  readonly losses_Wh: number;
  readonly stored_Wh: number;
  readonly error_Wh: number;
}

/** One month of the year, averaged over all years run. */
export interface MonthSummary {
  /** 1..12. */
  readonly month: number;
  readonly harvest_Wh_day: number;
  readonly need_Wh_day: number;
  readonly poa_kWh_m2_day: number;
  readonly ghi_kWh_m2_day: number;
  readonly temperature_degC: number;
  /** Mean dark hours in this month of a year. */
  readonly dark_h: number;
  /** Chance that this month of a year has a dark hour. */
  readonly darkShare: number;
  /** State of charge that is undercut on a tenth of the days of this month (daily minimum). */
  readonly lowStateOfCharge: number;
  readonly budget: EnergyBudget;
}

/** The same kit at some age of its cells. */
export interface AgeSummary {
  readonly age_years: number;
  readonly capacityShare: number;
  readonly resistanceFactor: number;
  readonly dark_h_per_year: Interval;
  readonly darkYearShare: Interval;
}

/** What limits the node: dark hours left when one cause is taken away. */
export interface CauseSummary {
  readonly cause: 'panel' | 'cells' | 'shade' | 'cold' | 'charger' | 'load';
  /** What "taken away" means for this cause, in words. */
  readonly removed: string;
  readonly darkLeft_h_per_year: number;
  /** Share of the dark hours that goes with the cause, 0..1. */
  readonly explains: number;
}

/** A single change to the kit or the perch, and what it would bring. */
export interface ChangeSummary {
  readonly change: string;
  /** The overrides that make it, as for `--set`. */
  readonly set: readonly string[];
  readonly darkYearShare: Interval;
  readonly holds: boolean;
}

/** Cells over the years. */
export interface AgeingCurve {
  readonly modelled: boolean;
  readonly years: readonly number[];
  /** Capacity share by the default model and by the second opinion. */
  readonly capacityShare: readonly number[];
  readonly capacityShareSecond: readonly number[];
  readonly yearsTo80: { readonly low: number; readonly high: number } | null;
  /** What other ceilings buy and cost: relative calendar ageing rate and share of capacity given up. */
  readonly ceilings: readonly {
    readonly ceiling_soc: number;
    readonly yearsTo80: number;
    readonly darkYearShare: number;
    readonly autonomy_d: number;
  }[];
  readonly warnings: readonly string[];
}

/** A value that was not given and what was taken for it. */
export interface Assumption {
  readonly field: string;
  readonly value: string;
  readonly why: string;
}

/** A caution with its stable code. */
export interface Caution {
  readonly code: string;
  readonly text: string;
}

/** Daily state of charge over the year: quantiles over all years, for the fan chart (365 values each). */
export interface Fan {
  readonly p01: readonly number[];
  readonly p10: readonly number[];
  readonly p50: readonly number[];
  readonly p90: readonly number[];
  /** Chance of being dark at some hour of that day. */
  readonly dark: readonly number[];
}

/** Result of `sunperch year` over many years. */
export interface YearOutcome {
  readonly command: 'year';
  readonly kit: string;
  readonly perch: string;
  readonly verdict: string;
  readonly state: 'stays up' | 'on the edge' | 'goes dark';
  readonly years: number;
  readonly seed: number;
  readonly weather: string;
  readonly place: { readonly latitude_deg: number; readonly longitude_deg: number; readonly elevation_m: number };
  readonly dark_h_per_year: Interval;
  readonly darkYearShare: Interval;
  readonly darkSpells_per_year: number;
  readonly unserved_Wh_per_year: number;
  readonly minStateOfCharge: number;
  readonly coldBlocked_h_per_year: number;
  readonly plating_h_per_year: number;
  readonly lockUps_per_year: number;
  readonly falseRestarts_per_year: number;
  readonly ceiling_h_per_year: number;
  readonly worstMonth: number;
  readonly longestDark_h: number;
  readonly autonomy_d: number;
  readonly recovery_d: number | null;
  readonly balance: EnergyBudget;
  readonly months: readonly MonthSummary[];
  readonly ages: readonly AgeSummary[];
  readonly causes: readonly CauseSummary[];
  readonly changes: readonly ChangeSummary[];
  readonly ageing: AgeingCurve;
  readonly strip: YearStrip;
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

/** The small picture of a kit at a perch: twelve months, chance of a dark day and the 10 % state of charge. */
export interface YearStrip {
  readonly darkShare: readonly number[];
  readonly lowStateOfCharge: readonly number[];
}

/** What the report draws besides the outcome itself. */
export interface YearPictures {
  readonly fan: Fan;
  /** The worst season: state of charge hour by hour (8,760 values from `carpetStartDay`), −1 where dark. */
  readonly carpet: Float32Array;
  readonly carpetYear: number;
  /** Zero-based day of the year with which fan and carpet begin (the sunniest month's first day). */
  readonly startDay: number;
  /** Horizon elevation by whole degree of azimuth, or none. */
  readonly horizon_deg: Float32Array | null;
  /** Return levels of dark spells: share of the mean, by spell length and return period. */
  readonly spells: readonly { readonly days: number; readonly period_years: number; readonly share: number }[];
  /** Panel watts x cells with the share of dark years, when it was computed. */
  readonly frontier: FrontierMap | null;
  /** State of charge of the ceiling, of cut-off and of reconnect, for lines in the fan chart. */
  readonly marks: { readonly ceiling: number; readonly cutoff: number; readonly reconnect: number };
}

/** The design map of `sunperch size`. */
export interface FrontierMap {
  readonly panel_W: readonly number[];
  readonly cells: readonly number[];
  /** Share of dark years, row = cells, column = panel. */
  readonly darkYearShare: readonly (readonly number[])[];
  readonly target: number;
  readonly frontier: readonly FrontierPoint[];
  /** The kit at hand. */
  readonly kit: { readonly panel_W: number; readonly cells: number } | null;
}

export interface FrontierPoint {
  readonly panel_W: number;
  readonly cells: number;
  readonly tilt_deg: number;
  readonly darkYearShare: number;
  readonly upper: number;
  readonly years: number;
}
