import { useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { logIn } from '../api/session.ts';
import { Problems } from '../parts/problems.tsx';
import { callProblems } from '../state/workshop.ts';

/** The passphrase of a workshop that is offered on a network. */
export function LogInPage({ onOpen }: { readonly onOpen: () => void }) {
  const [passphrase, setPassphrase] = useState('');
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  return (
    <div class="page">
      <main>
        <h1>This workshop asks for its passphrase.</h1>
        <form
          class="form single"
          onSubmit={(event) => {
            event.preventDefault();
            logIn(passphrase).then(
              (open) => open && onOpen(),
              (error: unknown) => setProblems(callProblems(error)),
            );
          }}
        >
          <div class="field">
            <label for="passphrase">passphrase</label>
            <span class="entry">
              <input
                id="passphrase"
                type="password"
                autocomplete="current-password"
                value={passphrase}
                aria-describedby="passphrase-problems"
                onInput={(event) => setPassphrase(event.currentTarget.value)}
              />
            </span>
            <span class="hint">It was set by whoever opened the workshop to the network.</span>
            <div class="at-field" id="passphrase-problems">
              <Problems list={problems} />
            </div>
          </div>
          <div class="actions">
            <button type="submit" class="main">
              Open
            </button>
          </div>
        </form>
      </main>
    </div>
  );
}
