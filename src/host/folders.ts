import { createHash, randomBytes } from 'node:crypto';
import { readdir, rename, rm, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { FileContent } from '../app/ports.ts';
import { userError } from '../core/units/index.ts';
import { makeFolders, systemReason } from './files.ts';

/** Writes a new folder whole or not at all: beside first, then renamed. An empty folder of that name gives way; any other stays. */
export async function writeFolder(path: string, files: ReadonlyMap<string, FileContent>): Promise<void> {
  const temporary = `${path.replace(/[/\\]+$/, '')}.${randomBytes(4).toString('hex')}.part`;
  try {
    if (!(await isFree(path)))
      throw userError('folder-not-empty', 'something is there already: choose another name', { file: path });
    for (const [name, content] of files) {
      const file = join(temporary, name);
      await makeFolders(dirname(file));
      await writeFile(file, typeof content === 'function' ? await content() : content, { flag: 'wx' });
    }
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { recursive: true, force: true }).catch(() => undefined);
    if (error instanceof Error && error.name === 'UserError') throw error;
    throw userError('folder-unwritable', `cannot be written: ${systemReason(error)}`, { file: path });
  }
}

async function isFree(path: string): Promise<boolean> {
  try {
    return (await readdir(path)).length === 0;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT') return true;
    if (code === 'ENOTDIR') return false;
    throw error;
  }
}

/** SHA-256 of bytes, or of a text in UTF-8, as 64 hexadecimal digits. */
export const digest = (content: string | Uint8Array): string => createHash('sha256').update(content).digest('hex');
