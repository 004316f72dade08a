/** Calls to the local server. A refusal comes back as what was wrong; no answer at all is told as being offline. */
import { signal } from '@preact/signals';
import type { Problem } from '../../core/units/index.ts';
import type {
  HeightAnswer,
  JobRequest,
  JobStatus,
  ProblemAnswer,
  ProfileAnswer,
  ProfileRequest,
  RecordKind,
  SaveRequest,
  StaleSave,
  StoredRecord,
  TerrainAnswer,
  WorkshopOverview,
} from '../../server/api.ts';

/** The server said no: problems to show, or the save that came in between. */
export class Refused extends Error {
  readonly status: number;
  readonly problems: readonly Problem[];
  readonly stale: StaleSave | undefined;
  constructor(status: number, problems: readonly Problem[], stale?: StaleSave) {
    super(stale?.message ?? problems.map((p) => p.message).join('\n'));
    this.name = 'Refused';
    this.status = status;
    this.problems = problems;
    this.stale = stale;
  }
}

/** Nobody answered. */
export class Unreachable extends Error {
  constructor() {
    super('the workshop does not answer: is `sunperch serve` still running?');
    this.name = 'Unreachable';
  }
}

/** False when the last answer was one that had been kept, so that nobody is there. */
export const fresh = signal(true);
/** True once the server has asked for the passphrase again. */
export const shutOut = signal(false);

export async function call<T>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(`/api${path}`, {
      method,
      headers: body === undefined ? {} : { 'content-type': 'application/json' },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      ...(signal === undefined ? {} : { signal }),
    });
  } catch {
    throw new Unreachable();
  }
  // The service worker answers 503 with this header when it has nothing kept.
  if (answer.status === 503 && answer.headers.get('x-sunperch-offline') === '1') throw new Unreachable();
  if (method === 'GET') fresh.value = answer.headers.get('x-sunperch-kept') !== '1';
  const text = await answer.text();
  const value: unknown = text === '' ? null : parse(text);
  if (answer.ok) return value as T;
  if (answer.status === 409 && isStale(value)) throw new Refused(409, [], value);
  if (answer.status === 401 && path !== '/session') shutOut.value = true;
  const { problems } = (value ?? {}) as Partial<ProblemAnswer>;
  throw new Refused(
    answer.status,
    Array.isArray(problems) && problems.length > 0
      ? problems
      : [{ code: `http-${answer.status}`, message: `the server answered ${answer.status}` }],
  );
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

const isStale = (value: unknown): value is StaleSave => (value as StaleSave | null)?.code === 'stale';
const at = (id: string) => `/records/${encodeURIComponent(id)}`;

export const getWorkshop = () => call<WorkshopOverview>('GET', '/workshop');
export const getRecord = (id: string) => call<StoredRecord>('GET', at(id));
export const createRecord = (request: SaveRequest) => call<StoredRecord>('POST', '/records', request);
export const saveRecord = (id: string, request: SaveRequest) => call<StoredRecord>('PUT', at(id), request);
export const removeRecord = (id: string) => call<unknown>('DELETE', at(id));
export const undoRecord = (kind: RecordKind, id: string) => call<StoredRecord>('POST', '/undo', { kind, id });
export const startJob = (request: JobRequest) => call<JobStatus>('POST', '/jobs', request);
export const getJob = (id: string) => call<JobStatus>('GET', `/jobs/${encodeURIComponent(id)}`);
export const stopJob = (id: string) => call<unknown>('DELETE', `/jobs/${encodeURIComponent(id)}`);
export const getTerrain = () => call<TerrainAnswer>('GET', '/terrain');
export const getHeight = ({ latitude_deg, longitude_deg }: ProfileRequest['from']) =>
  call<HeightAnswer>(
    'GET',
    `/terrain/height?latitude_deg=${latitude_deg.toFixed(7)}&longitude_deg=${longitude_deg.toFixed(7)}`,
  );
export const getProfile = (request: ProfileRequest) => call<ProfileAnswer>('POST', '/terrain/profile', request);

const ENDED = new Set(['done', 'failed', 'stopped']);

export interface RunningJob<T> {
  readonly result: Promise<T>;
  stop(): void;
}

/**
 * Runs a job to its end: progress by events, then the result. Stopping asks the server to stop it. A `passing` result, as while
 * something is dragged, is not kept by the service worker.
 */
export const runJob = <T>(
  request: JobRequest,
  onProgress: (status: JobStatus) => void,
  options: { readonly passing?: boolean } = {},
): RunningJob<T> => followJob<T>(() => startJob(request), onProgress, options);

/** The same for a job that is begun in another way. */
export function followJob<T>(
  begin: () => Promise<JobStatus>,
  onProgress: (status: JobStatus) => void,
  { passing = false }: { readonly passing?: boolean } = {},
): RunningJob<T> {
  let id: string | undefined;
  let stopped = false;
  let events: EventSource | undefined;
  const run = async (): Promise<T> => {
    const begun = await begin();
    id = begun.id;
    if (stopped) void stopJob(id).catch(() => undefined);
    onProgress(begun);
    const ended = ENDED.has(begun.state) ? begun : await follow(begun.id);
    if (ended.state === 'stopped') throw new Stopped();
    if (ended.state === 'failed') throw new Refused(422, ended.problems ?? [{ code: 'failed', message: 'it failed' }]);
    return call<T>('GET', `/results/${encodeURIComponent(ended.key)}${passing ? '?passing' : ''}`);
  };
  const follow = (job: string) =>
    new Promise<JobStatus>((resolve, reject) => {
      events = new EventSource(`/api/jobs/${encodeURIComponent(job)}/events`);
      const hear = (event: MessageEvent<string>) => {
        const status = JSON.parse(event.data) as JobStatus;
        onProgress(status);
        if (!ENDED.has(status.state)) return;
        events?.close();
        resolve(status);
      };
      events.addEventListener('message', hear);
      events.addEventListener('status', hear as EventListener);
      // A line that breaks is asked once more; then the job's own status decides.
      events.addEventListener('error', () => {
        events?.close();
        getJob(job).then(
          (status) => (ENDED.has(status.state) ? resolve(status) : reject(new Unreachable())),
          () => reject(new Unreachable()),
        );
      });
    });
  return {
    result: run(),
    stop() {
      stopped = true;
      if (id !== undefined) void stopJob(id).catch(() => undefined);
    },
  };
}

/** The job was stopped on request. */
export class Stopped extends Error {
  constructor() {
    super('stopped');
    this.name = 'Stopped';
  }
}
