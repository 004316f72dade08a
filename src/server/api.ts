import type { Assumption, YearOutcome, YearPictures, YearStrip } from '../core/energy/index.ts';
import type { Problem } from '../core/units/index.ts';

/** Types that server and browser share. Types only: nothing here runs. */

export type RecordKind = 'kit' | 'perch';

/** One kit or perch in a list. */
export interface RecordSummary {
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
}

/** Answer of GET /api/workshop. */
export interface WorkshopOverview {
  readonly name: string;
  readonly records: readonly RecordSummary[];
  /** What wants a look, most pressing first. */
  readonly attention: readonly { readonly text: string; readonly kit?: string; readonly perch?: string }[];
}

/** PUT /api/records/:id and POST /api/records. `from` is the revision that the change was made from. */
export interface SaveRequest {
  readonly kind: RecordKind;
  readonly value: unknown;
  readonly from?: number;
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

/** GET /api/results/:key of a year. */
export interface YearAnswer {
  readonly outcome: YearOutcome;
  readonly pictures: YearPictures;
}
