/** A file brought into the workshop from a page: signed, within the limit, told while it is on its way. */
import { useState } from 'preact/hooks';
import type { Problem } from '../../../core/units/index.ts';
import { base64 } from '../../../formats/base64.ts';
import { EVIDENCE_MOST_bytes } from '../../../records/bench/evidence-limit.ts';
import { Problems } from '../../parts/problems.tsx';
import { benchTurn, chance, signer } from '../../state/bench.ts';
import { format } from '../../state/settings.ts';
import { callProblems } from '../../state/workshop.ts';

/** Bytes in words: 1.2 MB, 34 kB. */
export const sizeText = (bytes: number): string =>
  bytes < 1e3
    ? `${bytes} bytes`
    : bytes >= 1e5
      ? `${format.value.fixed(bytes / 1e6, 1)} MB`
      : `${format.value.fixed(bytes / 1e3, bytes < 1e4 ? 1 : 0)} kB`;

/** A file as the server takes it. */
export interface SentFile {
  readonly name: string;
  readonly base64: string;
  readonly by: string;
  readonly token: string;
}

interface BringProps {
  /** What pressing it does: "attach a file". */
  readonly word: string;
  /** What the file is for. */
  readonly name: string;
  /** Kinds of file, as an input names them. */
  readonly accept: string;
  readonly send: (file: SentFile) => Promise<unknown>;
}

/** A file cannot wait in the browser as other records do: it is sent at once or not at all. */
export function BringFile({ word, name, accept, send }: BringProps) {
  const [doing, setDoing] = useState('');
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const take = async (file: File) => {
    setProblems([]);
    const refuse = (message: string) => setProblems([{ code: 'file-not-taken', message }]);
    const by = signer.value.trim();
    if (by === '') return refuse('say who you are first: every record of the bench is signed');
    if (file.size > EVIDENCE_MOST_bytes)
      return refuse(
        `${file.name} has ${sizeText(file.size)}; at most ${EVIDENCE_MOST_bytes / 1e6} MB are kept: take it or scan it with fewer dots`,
      );
    setDoing(file.name);
    try {
      await send({
        name: file.name.slice(-200),
        base64: base64(new Uint8Array(await file.arrayBuffer())),
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
  return (
    <>
      <label class="evidence-bring">
        {doing === '' ? <span>{word}</span> : <span role="status">{doing} is being kept …</span>}
        <input
          type="file"
          class="evidence-file"
          aria-label={`${word}: ${name}`}
          accept={accept}
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
