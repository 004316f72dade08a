import { createHash } from 'node:crypto';
import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';

/** Folders that are looked into, as far as terrain is looked for. */
const DEPTH = 4;

/**
 * What a terrain is: a hash of the names, sizes and times of its files, and of the options that say how they are read. Pictures in
 * numbered folders count by their folders' times, which change with each file that comes or goes. A server's address counts by itself.
 */
export async function terrainIdentity(name: string, options: object): Promise<string> {
  const hash = createHash('sha256').update(JSON.stringify([name, options]));
  if (!/^[a-z]+:\/\//i.test(name)) await addPath(name, DEPTH, hash);
  return hash.digest('hex');
}

async function addPath(path: string, depth: number, hash: ReturnType<typeof createHash>): Promise<void> {
  const found = await stat(path).catch(() => null);
  if (found === null) return;
  hash.update(`${path}\n${found.isDirectory() ? 'folder' : found.size}\n${found.mtimeMs}\n`);
  if (!found.isDirectory() || depth === 0) return;
  for (const entry of (await readdir(path, { withFileTypes: true })).sort((a, b) => (a.name < b.name ? -1 : 1))) {
    const wanted = entry.isDirectory() || /\.(hgt(\.gz|\.zip)?|tiff?)$/i.test(entry.name);
    if (wanted) await addPath(join(path, entry.name), depth - 1, hash);
  }
}
