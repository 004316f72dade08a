/** Who signs, and what is still on its way: in sight on every page of the bench. */
import { useEffect } from 'preact/hooks';
import {
  dropDeed,
  keepSending,
  refusedLately,
  sendWaiting,
  signAs,
  signer,
  tryAgain,
  waiting,
} from '../../state/bench.ts';
import { format } from '../../state/settings.ts';
import { counted } from './parts.tsx';

export function Signer() {
  return (
    <label class="signer">
      signed by{' '}
      <input
        type="text"
        class="inline"
        autocomplete="name"
        placeholder="your name"
        maxLength={200}
        value={signer.value}
        onInput={(event) => signAs(event.currentTarget.value)}
      />
    </label>
  );
}

export function OnTheWay() {
  useEffect(keepSending, []);
  const all = waiting.value;
  const later = all.filter((deed) => deed.refused === undefined);
  const refused = all.filter((deed) => deed.refused !== undefined);
  const lately = refusedLately.value;
  if (all.length === 0 && lately === null) return null;
  return (
    <section class="on-the-way" aria-label="Records on their way">
      {later.length === 0 ? null : (
        <div role="status">
          <p>
            <b>{counted(later.length, 'record waits', 'records wait')} to be sent.</b> They are kept in this browser and
            go out in this order as soon as the workshop answers.{' '}
            <button type="button" class="plain" onClick={() => void sendWaiting()}>
              send now
            </button>
          </p>
          <ol>
            {later.map((deed) => (
              <li key={deed.key}>
                {deed.said} <span class="quiet">waiting to be sent, {format.value.moment(deed.at)}</span>
              </li>
            ))}
          </ol>
        </div>
      )}
      {lately === null ? null : (
        <div class="refused" role="alert">
          <p>
            <b>Not written: {lately.said}</b>
          </p>
          {lately.problems.map((p) => (
            <p key={p.message}>{p.message}</p>
          ))}
          <p>
            <button
              type="button"
              class="plain"
              onClick={() => {
                refusedLately.value = null;
              }}
            >
              understood
            </button>
          </p>
        </div>
      )}
      {refused.map((deed) => (
        <div key={deed.key} class="refused" role="alert">
          <p>
            <b>Not taken: {deed.said}</b> <span class="quiet">done {format.value.moment(deed.at)}</span>
          </p>
          {deed.refused!.map((p) => (
            <p key={p.message}>{p.message}</p>
          ))}
          <p>
            <button type="button" onClick={() => tryAgain(deed.key)}>
              Send it again
            </button>{' '}
            <button type="button" class="plain" onClick={() => dropDeed(deed.key)}>
              let it go
            </button>
          </p>
        </div>
      ))}
    </section>
  );
}
