import { readdir, readFile, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { makeFolders, writeWhole } from './files.ts';

/** Results kept at most; the oldest go first. */
const KEPT = 500;

/**
 * Keeps results as files in a folder, `<key>.json` beside `<key>.note.json`, which tells what it is of. A cache: losing it
 * loses time, not data, so what cannot be read counts as absent. Keys are hashes in hexadecimal; nothing else becomes a path.
 */
export function resultFiles(folder: string) {
  const path = (key: string, end: string) => {
    if (!/^[0-9a-f]{64}$/.test(key)) throw new RangeError('resultFiles: a key is 64 hexadecimal digits');
    return join(folder, `${key}${end}`);
  };
  const keys = async (): Promise<{ key: string; at_ms: number }[]> => {
    const names = await readdir(folder).catch(() => [] as string[]);
    const found = names.flatMap((name) => /^([0-9a-f]{64})\.note\.json$/.exec(name)?.[1] ?? []);
    const dated = await Promise.all(
      found.map(async (key) => ({ key, at_ms: (await stat(path(key, '.note.json')).catch(() => null))?.mtimeMs ?? 0 })),
    );
    return dated.sort((a, b) => a.at_ms - b.at_ms);
  };
  return {
    /** The notes of all results, oldest first. */
    async notes(): Promise<string[]> {
      const texts = await Promise.all(
        (await keys()).map(({ key }) => readFile(path(key, '.note.json'), 'utf8').catch(() => '')),
      );
      return texts.filter((text) => text !== '');
    },
    read(key: string): Promise<string | undefined> {
      return readFile(path(key, '.json'), 'utf8').catch(() => undefined);
    },
    /** The note last: a result without one does not count. */
    async write(key: string, text: string, note: string): Promise<void> {
      await makeFolders(folder);
      await writeWhole(path(key, '.json'), text);
      await writeWhole(path(key, '.note.json'), note);
      const all = await keys();
      for (const { key: old } of all.slice(0, Math.max(0, all.length - KEPT)))
        await Promise.all([rm(path(old, '.note.json'), { force: true }), rm(path(old, '.json'), { force: true })]);
    },
  };
}
