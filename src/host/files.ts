import { randomBytes } from 'node:crypto';
import { mkdir, open, readFile, rename, rm, stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import { userError } from '../core/units/index.ts';

const REASONS: Record<string, string> = {
  ENOENT: 'there is no such file',
  EACCES: 'reading or writing is not allowed here',
  EPERM: 'reading or writing is not allowed here',
  EISDIR: 'it is a folder, a file is wanted',
  ENOTDIR: 'a part of the path is a file, not a folder',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk is read-only',
  ENAMETOOLONG: 'the name is too long',
  ELOOP: 'the links go in a circle',
};

/** The reason of a system error in words. */
export function systemReason(error: unknown): string {
  const code = (error as NodeJS.ErrnoException | null)?.code;
  return (code !== undefined && REASONS[code]) || (error instanceof Error ? error.message : String(error));
}

/** The text of a file of at most `limit_MB`; UserError in a sentence when it cannot be read. */
export async function readText(path: string, limit_MB = 20): Promise<string> {
  try {
    const info = await stat(path);
    if (info.isFile() && info.size > limit_MB * 1e6)
      throw userError(
        'file-too-large',
        `the file has ${(info.size / 1e6).toFixed(0)} MB; at most ${limit_MB} MB are read here`,
        { file: path },
      );
    return await readFile(path, 'utf8');
  } catch (error) {
    if (error instanceof Error && error.name === 'UserError') throw error;
    throw userError('file-unreadable', `cannot be read: ${systemReason(error)}`, { file: path });
  }
}

/** Writes a file whole or not at all: into a neighbour first, then renamed over; folders are made. */
export async function writeWhole(path: string, data: string | Uint8Array): Promise<void> {
  const temporary = `${path}.${randomBytes(4).toString('hex')}.part`;
  try {
    await mkdir(dirname(path), { recursive: true });
    const handle = await open(temporary, 'wx');
    try {
      await handle.writeFile(data);
    } finally {
      await handle.close();
    }
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true }).catch(() => undefined);
    throw userError('file-unwritable', `cannot be written: ${systemReason(error)}`, { file: path });
  }
}

/** The report's fonts as base64, from the folder beside the bundle; undefined where they are not there. */
export async function readFonts(folder: URL): Promise<{ regular: string; bold: string; mono: string } | undefined> {
  try {
    const read = async (name: string) => (await readFile(new URL(`${name}.woff2`, folder))).toString('base64');
    return { regular: await read('regular'), bold: await read('bold'), mono: await read('mono') };
  } catch {
    return undefined;
  }
}
