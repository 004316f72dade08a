import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { open, rename, rm } from 'node:fs/promises';
import { dirname } from 'node:path';
import { userError } from '../core/units/index.ts';
import { copyEntries, entriesAfter } from './bench.ts';
import type { Engine } from './engine.ts';
import { fileOf, keepFile, keptFiles } from './kept-files.ts';
import { migrate, readMigrations } from './migrations.ts';
import { appendTo, everythingIn } from './queries.ts';
import { closeAsOneFile, openSqlite } from './sqlite.ts';

/**
 * Writes a checked copy under `path`, or nothing: made beside, synced, renamed, folder synced (Pillai et al. 2014). The copy
 * of a server is a file too, which opens on any machine.
 *
 * @throws UserError when something of that name exists or the copy is damaged
 */
export async function writeBackup(path: string, from: Engine, now: () => string): Promise<void> {
  if (existsSync(path))
    throw userError('file-exists', 'a file of that name is there already: choose another name', { file: path });
  if (!existsSync(dirname(path)))
    throw userError('no-folder', 'the folder of this name does not exist: make it first', { file: path });
  const temporary = `${path}.${randomBytes(4).toString('hex')}.part`;
  try {
    if (from.copyTo !== undefined) await from.copyTo(temporary);
    else await copyRows(from, temporary, now);
    closeAsOneFile(temporary);
    await sync(temporary, 'r+');
    await rename(temporary, path);
    await sync(dirname(path), 'r');
  } finally {
    for (const end of ['', '-wal', '-shm', '-journal']) await rm(`${temporary}${end}`, { force: true });
  }
}

async function copyRows(from: Engine, path: string, now: () => string): Promise<void> {
  const revisions = await everythingIn(from.db);
  const entries = await entriesAfter(from.db, 0);
  const to = openSqlite(path, true);
  try {
    await migrate(to, readMigrations(to.dialect), now);
    await appendTo(to, revisions);
    // One at a time: all together may be large. A file stands before the entry that names it.
    for (const { sha256 } of await keptFiles(from.db)) await keepFile(to, (await fileOf(from.db, sha256))!);
    await copyEntries(to, entries);
  } finally {
    await to.close();
  }
}

async function sync(path: string, flags: 'r' | 'r+'): Promise<void> {
  const handle = await open(path, flags);
  try {
    await handle.sync();
  } catch (error) {
    // Some systems cannot sync a folder; the rename stands all the same.
    if (flags === 'r+') throw error;
  } finally {
    await handle.close();
  }
}
