/** What takes long enough to be a job. */
export const JOB_COMMANDS = ['year', 'size', 'where', 'thresholds', 'spells'] as const;
export type JobCommand = (typeof JOB_COMMANDS)[number];

/** Which records a command needs. */
export const JOB_NEEDS: Readonly<Record<JobCommand, { readonly kit: boolean; readonly perch: boolean }>> = {
  year: { kit: true, perch: true },
  size: { kit: true, perch: true },
  where: { kit: true, perch: false },
  thresholds: { kit: true, perch: true },
  spells: { kit: false, perch: true },
};

/** More years than this are not simulated: memory, and the weather model itself is not that well known. */
export const MOST_JOB_YEARS = 1000;

/** A job with everything that its result depends on: plain data, the same on every machine. */
export interface JobInput {
  readonly command: JobCommand;
  /** The kit's file as plain value. */
  readonly kit?: unknown;
  readonly perch?: unknown;
  readonly years?: number;
  readonly seed?: number;
  readonly target?: string;
}
