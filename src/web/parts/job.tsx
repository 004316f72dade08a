/** Work that the server does: how far it is, and the way to stop it. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import type { JobRequest, JobStatus } from '../../server/api.ts';
import { followJob, type RunningJob, Stopped, startJob } from '../api/client.ts';
import { keepResult, keptResult } from '../state/kept-results.ts';
import { callProblems } from '../state/workshop.ts';

export interface JobHandle<T> {
  readonly result: T | undefined;
  readonly status: JobStatus | null;
  readonly problems: readonly Problem[];
  /** With a request for a job, or with what begins one. */
  start(request: JobRequest | (() => Promise<JobStatus>)): void;
  stop(): void;
}

/** The job of a key: its result when it is known, else what is needed to get it. */
export function useJob<T>(key: string): JobHandle<T> {
  const [known, setKnown] = useState<{ readonly key: string; readonly value: T } | undefined>(undefined);
  const [status, setStatus] = useState<JobStatus | null>(null);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const running = useRef<RunningJob<T> | null>(null);
  const wanted = useRef(key);
  useEffect(() => {
    wanted.current = key;
    setProblems([]);
    const kept = keptResult<T>(key);
    if (kept !== undefined) setKnown({ key, value: kept });
  }, [key]);
  useEffect(() => () => running.current?.stop(), []);
  return {
    result: known?.key === key ? known.value : undefined,
    status,
    problems,
    start(request) {
      running.current?.stop();
      setProblems([]);
      const begin = typeof request === 'function' ? request : () => startJob(request);
      const job = followJob<T>(begin, (s) => running.current === job && setStatus(s));
      running.current = job;
      job.result
        .then((value) => {
          keepResult(key, value);
          if (wanted.current === key) setKnown({ key, value });
        })
        .catch((error: unknown) => {
          if (!(error instanceof Stopped)) setProblems(callProblems(error));
        })
        .finally(() => {
          if (running.current !== job) return;
          running.current = null;
          setStatus(null);
        });
    },
    stop: () => running.current?.stop(),
  };
}

export function JobProgress({ job }: { readonly job: JobHandle<unknown> }) {
  const { status } = job;
  if (status === null) return null;
  return (
    <p class="progress" role="status">
      {status.state === 'waiting' ? 'Waits for its turn' : status.what}{' '}
      <progress max={Math.max(1, status.total)} value={status.done} aria-label="how far it is" />{' '}
      <button type="button" onClick={job.stop}>
        Stop
      </button>
    </p>
  );
}
