/** Files that prove a row of the checklist: kept in the workshop, saved from there again, set aside where brought by mistake. */
import { useState } from 'preact/hooks';
import type { KeptEvidence } from '../../../app/bench/state.ts';
import type { Problem } from '../../../core/units/index.ts';
import { EVIDENCE_MOST_bytes } from '../../../records/bench/evidence-limit.ts';
import { evidenceAddress, sendEvidence } from '../../api/bench.ts';
import { Problems } from '../../parts/problems.tsx';
import { benchTurn, chance, signer } from '../../state/bench.ts';
import { format } from '../../state/settings.ts';
import { callProblems } from '../../state/workshop.ts';
import { useAct } from './parts.tsx';

interface Of {
  readonly batch: string;
  readonly paper: string;
  readonly name: string;
}

/** Bytes in words: 1.2 MB, 34 kB. */
const sizeText = (bytes: number): string =>
  bytes < 1e3
    ? `${bytes} bytes`
    : bytes >= 1e5
      ? `${format.value.fixed(bytes / 1e6, 1)} MB`
      : `${format.value.fixed(bytes / 1e3, bytes < 1e4 ? 1 : 0)} kB`;

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
      <Bring {...of} />
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

/** A file cannot wait in the browser as other records do: it is sent at once or not at all. */
function Bring({ batch, paper, name }: Of) {
  const [doing, setDoing] = useState('');
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const take = async (file: File) => {
    setProblems([]);
    const by = signer.value.trim();
    if (by === '') return refuse('say who you are first: every record of the bench is signed');
    if (file.size > EVIDENCE_MOST_bytes)
      return refuse(
        `${file.name} has ${sizeText(file.size)}; at most ${EVIDENCE_MOST_bytes / 1e6} MB are kept: keep a scan of fewer dots`,
      );
    setDoing(file.name);
    try {
      await sendEvidence({
        batch,
        paper,
        name: file.name.slice(-200),
        base64: await base64Of(file),
        by,
        token: chance(),
      });
      benchTurn.value++;
    } catch (error) {
      setProblems(callProblems(error));
    } finally {
      setDoing('');
    }
  };
  const refuse = (message: string) => setProblems([{ code: 'evidence', message }]);
  return (
    <>
      <label class="evidence-bring">
        {doing === '' ? <span>attach a file</span> : <span role="status">{doing} is being kept …</span>}
        <input
          type="file"
          class="evidence-file"
          aria-label={`attach a file to: ${name}`}
          accept=".pdf,.jpg,.jpeg,.png,.txt,.csv,.md"
          disabled={doing !== ''}
          onChange={(event) => {
            const field = event.currentTarget;
            const [file] = [...(field.files ?? [])];
            if (file !== undefined)
              void take(file).then(() => {
                field.value = '';
              });
          }}
        />
      </label>
      <Problems list={problems} />
    </>
  );
}

export function base64Of(file: File): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(String(reader.result).split(',', 2)[1] ?? '');
    reader.onerror = () => reject(new Error(`${file.name} cannot be read`));
    reader.readAsDataURL(file);
  });
}
