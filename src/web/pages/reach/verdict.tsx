/** The sentence that answers, how sure it is, and how far the coverage has come. */
import { Problems } from '../../parts/problems.tsx';
import {
  coverage,
  coverageProblems,
  coverageStatus,
  coverageStopped,
  fullCoverage,
  isFull,
  stopCoverage,
} from '../../state/coverage.ts';
import * as design from '../../state/design.ts';
import { reachSettings, spotNow } from '../../state/reach.ts';
import { format } from '../../state/settings.ts';
import { reader } from './reader.ts';
import { reachSentence } from './words.ts';

export function ReachVerdict() {
  const found = coverage.value;
  const wrong = design.designProblems.value;
  const name = design.perchRecord.value?.name ?? '';
  const { to } = reachSettings.value;
  const indoors = to === 'traditional' || to === 'efficient';
  const sentence = found === null ? '' : reachSentence(reader(), found.answer.outcome, indoors);
  return (
    <div class="verdict">
      <h1>
        {spotNow.value === null
          ? `${name} has no position yet: press its place on the map.`
          : found === null
            ? coverageProblems.value.length > 0
              ? `Whom ${name} reaches cannot be told.`
              : `Looking at the ground around ${name} …`
            : sentence}
      </h1>
      <p class="unseen" role="status">
        {isFull.value ? sentence : ''}
      </p>
      <Sure />
      <Problems
        list={[...wrong, ...coverageProblems.value.filter((p) => found === null || p.code !== 'unreachable')]}
      />
    </div>
  );
}

function Sure() {
  const found = coverage.value;
  const status = coverageStatus.value;
  const sure = found === null ? '' : format.value.figure(100 * found.answer.outcome.share.sure, 2);
  const said =
    found === null
      ? ''
      : found.detail === 'kept'
        ? `Computed ${format.value.moment(found.at ?? '')}, of the perch as it was saved then.`
        : isFull.value
          ? `With odds of 90 % or better: ${sure} % of the ground. The median decides what is called reached.`
          : 'First look, on a coarse grid.';
  return (
    <p class="progress">
      {said}{' '}
      {status !== null ? (
        <>
          {status.state === 'waiting' ? 'The full one waits for its turn' : `The full one: ${status.what}`}{' '}
          <progress max={Math.max(1, status.total)} value={status.done} aria-label="full coverage" />{' '}
          <button type="button" class="plain" onClick={stopCoverage}>
            stop
          </button>
        </>
      ) : coverageStopped.value ? (
        <button type="button" class="plain" onClick={fullCoverage}>
          compute the full one
        </button>
      ) : null}
    </p>
  );
}
