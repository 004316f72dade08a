/** The sentence that answers, and under it how sure it is and the smallest change that would help. */

import { Problems } from '../../parts/problems.tsx';
import * as design from '../../state/design.ts';
import { EXACT_YEARS } from '../../state/design.ts';
import { format } from '../../state/settings.ts';

export function Verdict() {
  const shown = design.shown.value;
  const wrong = design.designProblems.value;
  const failed = design.computeProblems.value;
  const exact = design.isExact.value;
  if (wrong.length > 0 && shown === null)
    return (
      <>
        <h1>This design cannot be computed yet.</h1>
        <Problems list={wrong} />
      </>
    );
  return (
    <div class="verdict">
      <h1>{shown === null ? 'Looking at its winters …' : shown.verdict}</h1>
      <p class="unseen" role="status">
        {exact && shown ? shown.verdict : ''}
      </p>
      <Smallest />
      {wrong.length > 0 ? (
        <p class="progress">Of the design before: what is wrong beside the controls is to be mended first.</p>
      ) : (
        <Progress exact={exact} years={shown?.years ?? 0} />
      )}
      <Problems list={failed} />
    </div>
  );
}

function Smallest() {
  const outcome = design.isExact.value ? design.exact.value?.outcome : undefined;
  if (outcome === undefined) return <p class="lead"> </p>;
  const smallest = outcome.changes.find((c) => c.holds);
  if (smallest === undefined)
    return (
      <p class="lead">
        {outcome.changes.length > 0
          ? 'None of the single changes tried is enough: look at the map of panel and cells below.'
          : outcome.state === 'stays up'
            ? 'No change is needed.'
            : 'No single change was tried.'}
      </p>
    );
  return (
    <p class="lead">
      Smallest change that holds: {smallest.change}.{' '}
      <button type="button" onClick={() => design.adjust(smallest.set)}>
        Try it
      </button>
    </p>
  );
}

function Progress({ exact, years }: { readonly exact: boolean; readonly years: number }) {
  const running = design.progress.value;
  const number = (n: number) => format.value.figure(n, 9);
  if (exact)
    return (
      <p class="progress">
        {number(years)} years, seed {design.SEED}.
      </p>
    );
  if (years === 0) return <p class="progress"> </p>;
  return (
    <p class="progress">
      First look, {number(years)} years.{' '}
      {running === null ? (
        `${number(EXACT_YEARS)} follow.`
      ) : (
        <>
          {number(EXACT_YEARS)} are being run: {running.what}{' '}
          <progress max={running.total} value={running.done} aria-label="exact run" />
        </>
      )}
    </p>
  );
}
