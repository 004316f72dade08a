/** Whether the kit of an order stays up where it will stand: word and shape, and the check itself. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { PlaceOutcome } from '../../../app/bench/place-check.ts';
import type { PlaceLook } from '../../../app/bench/ship-check.ts';
import type { Problem } from '../../../core/units/index.ts';
import { checkOrderPlace } from '../../api/bench.ts';
import { followJob, type RunningJob, Stopped } from '../../api/client.ts';
import { JobProgress, useJob } from '../../parts/job.tsx';
import { Problems } from '../../parts/problems.tsx';
import { StateWord } from '../../parts/state-sign.tsx';
import { callProblems } from '../../state/workshop.ts';
import { counted } from './parts.tsx';

/** The state, or that it is not known. */
export function PlaceWord({ state }: Pick<PlaceLook, 'state'>) {
  return state === 'not checked yet' ? (
    <span class="quiet place-word">not checked yet</span>
  ) : (
    <StateWord state={state} />
  );
}

/** Begins the check; `onDone` reads again what is known. */
export function CheckPlace(props: {
  readonly order: string;
  readonly state: PlaceLook['state'];
  readonly onDone: () => void;
}) {
  const { order, state, onDone } = props;
  const job = useJob<PlaceOutcome>(`place ${order}`);
  useEffect(() => {
    if (job.result !== undefined) onDone();
  }, [job.result]);
  return (
    <>
      {job.status !== null ? (
        <JobProgress job={job} />
      ) : state === 'not checked yet' ? (
        <button type="button" onClick={() => job.start(() => checkOrderPlace(order))}>
          Check the place
        </button>
      ) : null}
      <Problems list={job.problems} />
    </>
  );
}

/** Checks all that nobody has checked, one after the other: a place that several orders share is computed once. */
export function CheckPlaces({
  places,
  onDone,
}: {
  readonly places: readonly PlaceLook[];
  readonly onDone: () => void;
}) {
  const [at, setAt] = useState<{ readonly done: number; readonly of: number; readonly name: string } | null>(null);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const running = useRef<RunningJob<PlaceOutcome> | null>(null);
  useEffect(() => () => running.current?.stop(), []);
  const open = places.filter((p) => p.state === 'not checked yet' && p.why === null);
  const run = async () => {
    setProblems([]);
    try {
      for (const [done, { order, place }] of open.entries()) {
        setAt({ done, of: open.length, name: place ?? order });
        running.current = followJob<PlaceOutcome>(
          () => checkOrderPlace(order),
          () => undefined,
        );
        await running.current.result;
        onDone();
      }
    } catch (error) {
      if (!(error instanceof Stopped)) setProblems(callProblems(error));
    }
    running.current = null;
    setAt(null);
  };
  return (
    <>
      {at !== null ? (
        <p class="progress" role="status">
          Checks {at.name} <progress max={at.of} value={at.done} aria-label="how far it is" />{' '}
          <button type="button" onClick={() => running.current?.stop()}>
            Stop
          </button>
        </p>
      ) : open.length > 0 ? (
        <p>
          <button type="button" onClick={() => void run()}>
            Check {counted(open.length, 'place')}
          </button>
        </p>
      ) : null}
      <Problems list={problems} />
    </>
  );
}
