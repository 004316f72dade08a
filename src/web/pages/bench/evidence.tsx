/** Files that prove a row of the checklist: kept in the workshop, saved from there again, set aside where brought by mistake. */
import { useState } from 'preact/hooks';
import type { KeptEvidence } from '../../../app/bench/state.ts';
import { evidenceAddress, sendEvidence } from '../../api/bench.ts';
import { Problems } from '../../parts/problems.tsx';
import { format } from '../../state/settings.ts';
import { BringFile, sizeText } from './bring-file.tsx';
import { useAct } from './parts.tsx';

interface Of {
  readonly batch: string;
  readonly paper: string;
  readonly name: string;
}

export function EvidenceFiles({ files, ...of }: Of & { readonly files: readonly KeptEvidence[] }) {
  const counting = files.filter((file) => file.setAside === null);
  const aside = files.filter((file) => file.setAside !== null);
  return (
    <div class="evidence">
      {counting.length === 0 ? null : (
        <ul class="evidence-files" aria-label={`files for: ${of.name}`}>
          {counting.map((file) => (
            <Kept key={file.sha256} file={file} {...of} />
          ))}
        </ul>
      )}
      {aside.length === 0 ? null : (
        <p class="quiet">
          set aside: {aside.map((file) => `${file.name} (${file.setAside!.reason}, ${file.setAside!.by})`).join('; ')}
        </p>
      )}
      <BringFile
        word="attach a file"
        name={of.name}
        accept=".pdf,.jpg,.jpeg,.png,.txt,.csv,.md"
        send={(file) => sendEvidence({ batch: of.batch, paper: of.paper, ...file })}
      />
    </div>
  );
}

function Kept({ file, batch, paper }: Of & { readonly file: KeptEvidence }) {
  const [asking, setAsking] = useState(false);
  const [reason, setReason] = useState('');
  const { busy, problems, act } = useAct();
  const { name, sha256, bytes, by, at } = file;
  return (
    <li>
      <a href={evidenceAddress(batch, sha256)} download={name}>
        {name}
      </a>{' '}
      <span class="quiet">
        {sizeText(bytes)}, {by}, {format.value.moment(at)}
      </span>{' '}
      {asking ? (
        <form
          class="evidence-aside"
          onSubmit={(event) => {
            event.preventDefault();
            if (busy || reason.trim() === '') return;
            void act(
              { deed: 'set-evidence-aside', batch, paper, sha256, reason: reason.trim() },
              `set ${name} aside`,
            ).then((taken) => taken && setAsking(false));
          }}
        >
          <label class="note-field">
            why{' '}
            <input
              type="text"
              autocomplete="off"
              maxLength={500}
              value={reason}
              onInput={(event) => setReason(event.currentTarget.value)}
            />
          </label>
          <button type="submit" disabled={busy || reason.trim() === ''}>
            Set it aside
          </button>
          <button type="button" class="plain" onClick={() => setAsking(false)}>
            leave it
          </button>
          <Problems list={problems} />
        </form>
      ) : (
        <button type="button" class="plain" aria-label={`set aside: ${name}`} onClick={() => setAsking(true)}>
          set aside
        </button>
      )}
    </li>
  );
}
