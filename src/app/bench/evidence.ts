/** Files that prove a row of the market's checklist: what may be kept, under which name, and how it comes back. */
import { userError } from '../../core/units/index.ts';
import { EVIDENCE_MOST_bytes, type EvidenceType, streamOf } from '../../records/bench/index.ts';
import { act, type Bench, type Deed, refresh, type Signed } from './act.ts';
import { batchIn } from './find.ts';
import { checkRow } from './market-papers.ts';
import type { BenchState, KeptEvidence } from './state.ts';

/** Ends of the names of kept files. */
export const EVIDENCE_ENDS: Readonly<Record<EvidenceType, string>> = {
  'application/pdf': 'pdf',
  'image/jpeg': 'jpg',
  'image/png': 'png',
  'text/plain': 'txt',
};

const BEGINNINGS: readonly (readonly [EvidenceType, readonly number[]])[] = [
  ['application/pdf', [0x25, 0x50, 0x44, 0x46, 0x2d]],
  ['image/jpeg', [0xff, 0xd8, 0xff]],
  ['image/png', [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]],
];
/** Control characters that text has no use for: all but tab, line feed, form feed and carriage return. */
const NOT_TEXT = /[\x00-\x08\x0b\x0e-\x1f\x7f]/;

/**
 * What a file is, by its bytes: its name may say anything. Whether it does harm is not looked at; it is given back as it
 * came, to be saved, never shown by the server.
 *
 * @throws UserError when it is empty, too large, or neither PDF, JPEG, PNG nor text in UTF-8
 */
export function evidenceType(content: Uint8Array, name: string): EvidenceType {
  const place = { file: name };
  if (content.length === 0) throw userError('evidence-empty', 'the file is empty: it proves nothing', place);
  if (content.length > EVIDENCE_MOST_bytes)
    throw userError(
      'evidence-large',
      `the file has ${(content.length / 1e6).toFixed(1)} MB; at most ${EVIDENCE_MOST_bytes / 1e6} MB are kept: keep a scan of fewer dots, or note where the large one lies`,
      place,
    );
  const found = BEGINNINGS.find(([, bytes]) => bytes.every((byte, i) => content[i] === byte));
  if (found !== undefined) return found[0];
  try {
    if (!NOT_TEXT.test(new TextDecoder('utf-8', { fatal: true }).decode(content))) return 'text/plain';
  } catch {
    // No UTF-8: told below.
  }
  throw userError('evidence-kind', 'a PDF, a JPEG, a PNG or a text in UTF-8 is kept: this is none of them', place);
}

/** Name of a file without folders and without signs that no file system takes. */
export function evidenceName(name: string): string {
  const last = name.normalize('NFC').split(/[/\\]/).at(-1) ?? '';
  const plain = last.replace(/[\p{Cc}\p{Cf}\p{Surrogate}"*:<>?|]+/gu, '-').replace(/^[.\s]+|[.\s]+$/g, '');
  return [...plain].slice(0, 120).join('') || 'evidence';
}

export interface EvidenceRequest {
  readonly batch: string;
  readonly paper: string;
  readonly name: string;
}

/**
 * Keeps a file for a row of a batch: its bytes in the store, who brought it and when in the record, and the row as there.
 *
 * @throws UserError when the row is none of the market's, or the file is none that is kept
 */
export async function takeEvidence(
  bench: Bench,
  signed: Signed,
  { batch, paper, name: called }: EvidenceRequest,
  content: Uint8Array,
): Promise<{ readonly evidence: KeptEvidence; readonly again: boolean }> {
  const name = evidenceName(called);
  const type = evidenceType(content, name);
  await refresh(bench);
  checkRow(bench.state, batch, paper);
  const sha256 = await bench.store.keepFile(content);
  const file = { paper, name, type, bytes: content.length, sha256 };
  const written = await act(bench, signed, (state) => keepEvidence(state, batch, file));
  return { evidence: evidenceIn(bench.state, batch, sha256), again: written.length === 0 };
}

type File = Pick<KeptEvidence, 'paper' | 'name' | 'type' | 'bytes' | 'sha256'>;

/** The record of a file that the store keeps already; a file that proves the row already is not put down twice. */
export function keepEvidence(state: BenchState, key: string, file: File): Deed[] {
  checkRow(state, key, file.paper);
  const batch = batchIn(state, key);
  const stream = streamOf('batch', key);
  const there = (batch.evidence.get(file.paper) ?? []).some((e) => e.sha256 === file.sha256 && e.setAside === null);
  const noted = batch.papers.get(file.paper);
  return [
    ...(there ? [] : [{ stream, content: { kind: 'evidence-kept' as const, ...file } }]),
    ...(noted?.state === 'there'
      ? []
      : [
          {
            stream,
            content: {
              kind: 'paper-noted' as const,
              paper: file.paper,
              state: 'there' as const,
              ...(noted?.evidence === undefined ? {} : { evidence: noted.evidence }),
            },
          },
        ]),
  ];
}

/** A file that was brought by mistake no longer counts; where it was all there was, the row is missing again. */
export function setEvidenceAside(
  state: BenchState,
  key: string,
  { paper, sha256, reason }: { readonly paper: string; readonly sha256: string; readonly reason: string },
): Deed[] {
  checkRow(state, key, paper);
  const batch = batchIn(state, key);
  const counting = (batch.evidence.get(paper) ?? []).filter((e) => e.setAside === null);
  if (!counting.some((e) => e.sha256 === sha256))
    throw userError('no-such-evidence', `no file with the digest ${sha256.slice(0, 12)} proves ${paper}`, {
      field: 'sha256',
    });
  const noted = batch.papers.get(paper);
  const bare = counting.length === 1 && noted?.evidence === undefined && noted?.state === 'there';
  const stream = streamOf('batch', key);
  return [
    { stream, content: { kind: 'evidence-set-aside', paper, sha256, reason } },
    ...(bare ? [{ stream, content: { kind: 'paper-noted' as const, paper, state: 'missing' as const } }] : []),
  ];
}

/**
 * The file of a batch by its digest or the first eight or more of its signs, set aside or not.
 *
 * @throws UserError when the batch names no such file
 */
export function evidenceIn(state: BenchState, key: string, sha256: string): KeptEvidence {
  const all = [...batchIn(state, key).evidence.values()].flat();
  const found = all.find((e) => e.sha256 === sha256 || (sha256.length >= 8 && e.sha256.startsWith(sha256)));
  if (found !== undefined) return found;
  throw userError('no-such-evidence', `batch ${key} has no file with the digest ${sha256.slice(0, 12)}`, {
    field: 'sha256',
  });
}

/** Names under which the files of a batch lie in one folder: each begins with its row, and none stands twice. */
export function evidenceFiles(
  state: BenchState,
  key: string,
  paper?: string,
): readonly { readonly file: string; readonly evidence: KeptEvidence }[] {
  if (paper !== undefined) checkRow(state, key, paper);
  const taken = new Set<string>();
  return [...batchIn(state, key).evidence]
    .filter(([row]) => paper === undefined || row === paper)
    .flatMap(([, files]) => files)
    .filter((evidence) => evidence.setAside === null)
    .map((evidence) => {
      const plain = `${evidence.paper}-${evidence.name}`;
      const file = taken.has(plain.toLowerCase())
        ? `${evidence.paper}-${evidence.sha256.slice(0, 8)}-${evidence.name}`
        : plain;
      taken.add(file.toLowerCase());
      return { file, evidence };
    });
}
