/** What stands on the ground around the perch in hand, and what was measured there: files of its maker. */
import { computed, effect, signal } from '@preact/signals';
import { type CoverFile, readCover } from '../../app/cover-file.ts';
import type { FileInput, JobRequest } from '../../server/api.ts';
import { type FileKind, keepFile, keptFile } from './kept-files.ts';
import { perchId, type ReachSettings } from './reach.ts';

/** Most characters of each, as the server takes them. */
export const MOST_TEXT: Readonly<Record<FileKind, number>> = { cover: 2_000_000, measured: 200_000 };

interface Held {
  readonly perch: string;
  readonly file: FileInput;
}
const held: Readonly<Record<FileKind, ReturnType<typeof signal<Held | null>>>> = {
  cover: signal<Held | null>(null),
  measured: signal<Held | null>(null),
};
const fileOf = (kind: FileKind) =>
  computed(() => {
    const now = held[kind].value;
    return now && now.perch === perchId.value ? now.file : null;
  });
export const coverText = fileOf('cover');
export const measuredText = fileOf('measured');

/** The cover as it was read; a file that no longer reads counts as none. */
export const cover = computed<CoverFile | null>(() => {
  const file = coverText.value;
  if (file === null) return null;
  try {
    return readCover(file.text, file.name);
  } catch {
    return null;
  }
});

/** Puts a file to the perch in hand, or takes it away; returns what stood there. */
export function putFile(kind: FileKind, file: FileInput | null, perch = perchId.peek()): FileInput | null {
  const now = held[kind].peek();
  const before = now && now.perch === perch ? now.file : null;
  if (perch === undefined) return before;
  if (perch === perchId.peek()) held[kind].value = file === null ? null : { perch, file };
  void keepFile(kind, perch, file);
  return before;
}

/** Fetches the files of each perch that is taken in hand; returns what ends it. */
export function followFiles(): () => void {
  return effect(() => {
    const perch = perchId.value;
    if (perch === undefined) return;
    for (const kind of ['cover', 'measured'] as const)
      void keptFile(kind, perch).then((file) => {
        // What was put meanwhile is newer.
        if (perchId.peek() !== perch || held[kind].peek()?.perch === perch) return;
        held[kind].value = file === null ? null : { perch, file };
      });
  });
}

/** What stands on the ground, told in one way only: the file where there is one. */
export function onGround({ ground, clutter_m, woods_m }: ReachSettings): Pick<JobRequest, 'clutter_m' | 'woods_m'> {
  if (cover.value !== null) return {};
  if (ground === 'even' && clutter_m > 0) return { clutter_m };
  return ground === 'woods' && woods_m > 0 ? { woods_m } : {};
}

/** The files as a job takes them. */
export const filesOfJob = (): Pick<JobRequest, 'cover' | 'measured'> => ({
  ...(cover.value === null ? {} : { cover: coverText.value! }),
  ...(measuredText.value === null ? {} : { measured: measuredText.value }),
});

/** Changes with the files in hand. */
export const filesKey = computed(() => [coverText.value, measuredText.value].map(markOf).join(' '));

/** FNV-1a, 32 bits, of a text, with its length: tells one file of the same name from another. */
function markOf(file: FileInput | null): string {
  if (file === null) return '-';
  let hash = 0x811c9dc5;
  for (let i = 0; i < file.text.length; i++) hash = Math.imul(hash ^ file.text.charCodeAt(i), 0x01000193);
  return `${file.name} ${file.text.length} ${hash >>> 0}`;
}

/** A class of cover in words: `woods 18 m high`. */
export function kindText(file: CoverFile, kind: number, height: (m: number) => string): string {
  const { cover: word, height_m } = file.kinds[kind]!;
  return height_m > 0 ? `${word} ${height(height_m)} high` : word;
}
