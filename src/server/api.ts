import type { Assumption, YearOutcome, YearPictures, YearStrip } from '../core/energy/index.ts';
import type { Problem } from '../core/units/index.ts';

/** Types that server and browser share. Types only: nothing here runs. */

export type RecordKind = 'kit' | 'perch';

/** One kit or perch in a list. */
export interface RecordSummary {
  /** Kind and key, `kit:alder-3`: one segment of a path. */
  readonly id: string;
  readonly kind: RecordKind;
  readonly name: string;
  readonly revision: number;
  /** ISO 8601, UTC. */
  readonly saved: string;
  /** The year strip of the last result that has this record, if any. */
  readonly strip: YearStrip | null;
  readonly place?: { readonly latitude_deg: number; readonly longitude_deg: number };
}

/** A kit or perch with the revision it stands at. `value` is the record as its file would say it. */
export interface StoredRecord extends RecordSummary {
  readonly value: unknown;
  readonly text: string;
  readonly assumptions: readonly Assumption[];
  /** The newest revision takes the record away; `value` is then null and undo brings it back. */
  readonly removed?: true;
}

/** Answer of GET /api/workshop. */
export interface WorkshopOverview {
  readonly name: string;
  readonly records: readonly RecordSummary[];
  /** What wants a look, most pressing first. */
  readonly attention: readonly { readonly text: string; readonly kit?: string; readonly perch?: string }[];
}

/** PUT /api/records/:id and POST /api/records. `from` is the revision that the change was made from: PUT needs it. */
export interface SaveRequest {
  readonly kind: RecordKind;
  readonly value: unknown;
  /** The file as its maker wrote it, comments and all; must say the same as `value`. Absent: written from `value`. */
  readonly text?: string;
  readonly from?: number;
  /** One line on why, kept with the revision. */
  readonly note?: string;
}

/** POST /api/undo: the record as it was before its newest revision. `from` as for a save; absent: whichever is newest. */
export interface UndoRequest {
  readonly id: string;
  readonly kind?: RecordKind;
  readonly from?: number;
}

/** POST /api/check/:kind, while somebody types: the file's text, or its value. */
export type CheckRequest = { readonly text: string } | { readonly value: unknown };

/** Answer of POST /api/check/:kind: what is wrong, or what is taken for granted. */
export interface CheckAnswer {
  readonly problems: readonly Problem[];
  readonly assumptions: readonly Assumption[];
}

/** One revision of GET /api/records/:id/history, oldest first. */
export interface RevisionSummary {
  readonly revision: number;
  readonly name: string;
  readonly saved: string;
  readonly note: string;
  readonly removed: boolean;
  /** The earlier revision that this one brings back. */
  readonly restores: number | null;
}

/** 409: somebody else has saved meanwhile. */
export interface StaleSave {
  readonly code: 'stale';
  readonly message: string;
  readonly revision: number;
  readonly changed: readonly { readonly field: string; readonly theirs: unknown; readonly yours: unknown }[];
}

/** 400 and 422: what is wrong with what was sent, all at once. */
export interface ProblemAnswer {
  readonly problems: readonly Problem[];
}

/** What can be computed as a job. */
export type JobCommand = 'year' | 'size' | 'where' | 'thresholds' | 'spells';

/** POST /api/jobs. Kit and perch by id, or as values that need not be saved. */
export interface JobRequest {
  readonly command: JobCommand;
  readonly kit?: string | { readonly value: unknown };
  readonly perch?: string | { readonly value: unknown };
  readonly years?: number;
  readonly seed?: number;
  readonly target?: string;
}

export type JobState = 'waiting' | 'running' | 'done' | 'failed' | 'stopped';

/** GET /api/jobs/:id, and each event of GET /api/jobs/:id/events. */
export interface JobStatus {
  readonly id: string;
  readonly command: JobCommand;
  readonly state: JobState;
  readonly done: number;
  readonly total: number;
  readonly what: string;
  /** Hash of the inputs: the result's key in the cache. */
  readonly key: string;
  readonly problems?: readonly Problem[];
}

/** What JSON makes of a result: typed arrays are lists; a number that is none (NaN) is null, whatever the type says. */
export type OverWire<T> = T extends Float32Array | Float64Array | Uint8Array | Uint16Array
  ? readonly number[]
  : T extends object
    ? { readonly [K in keyof T]: OverWire<T[K]> }
    : T;

/** GET /api/results/:key of a year. The other commands answer with their outcome as `--json` prints it. */
export interface YearAnswer {
  readonly outcome: YearOutcome;
  readonly pictures: OverWire<YearPictures>;
}

/** POST /api/report: the report page (HTML) of a year that was computed; `size` adds the map of panel and cells. */
export interface ReportRequest {
  readonly year: string;
  readonly size?: string;
}

/** GET /api/session. `open` is always true where no passphrase is demanded. POST /api/session logs in, DELETE logs out. */
export interface SessionAnswer {
  readonly passphrase: boolean;
  readonly open: boolean;
}
export interface LogInRequest {
  readonly passphrase: string;
}

/** One of GET /api/parts. */
export interface PartAnswer {
  readonly id: string;
  readonly title: string;
  readonly source: string;
  readonly fields: Readonly<Record<string, unknown>>;
}
export type PartsAnswer = Readonly<Record<'panels' | 'cells' | 'chargers' | 'loads', readonly PartAnswer[]>>;

/** One of GET /api/climates; with `latitude_deg` and `longitude_deg` in the query the nearest first, with its distance. */
export interface ClimateAnswer {
  readonly name: string;
  readonly country: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  readonly dataset: string;
  readonly ghi_kWh_m2_day: readonly number[];
  readonly temperature_degC: readonly number[];
  readonly source: string;
  readonly distance_km?: number;
}
