import { randomBytes } from 'node:crypto';
import { access, constants, mkdir, open, readFile, realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type UserError, userError } from '../core/units/index.ts';

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
    if (info.isFile() && info.size > limit_MB * 1e6) throw tooLarge(path, info.size, limit_MB);
    return await readFile(path, 'utf8');
  } catch (error) {
    if (error instanceof Error && error.name === 'UserError') throw error;
    throw userError('file-unreadable', `cannot be read: ${systemReason(error)}`, { file: path });
  }
}

/** The bytes of a file of at most `limit_MB`; UserError in a sentence when it cannot be read. */
export async function readBytes(path: string, limit_MB = 20): Promise<Uint8Array> {
  try {
    const info = await stat(path);
    if (info.isFile() && info.size > limit_MB * 1e6) throw tooLarge(path, info.size, limit_MB);
    return new Uint8Array(await readFile(path));
  } catch (error) {
    if (error instanceof Error && error.name === 'UserError') throw error;
    throw userError('file-unreadable', `cannot be read: ${systemReason(error)}`, { file: path });
  }
}

const tooLarge = (path: string, size: number, limit_MB: number) =>
  userError('file-too-large', `the file has ${(size / 1e6).toFixed(0)} MB; at most ${limit_MB} MB are read here`, {
    file: path,
  });

/**
 * Writes a file whole or not at all: into a neighbour first, then renamed over; folders are made. A link stays a link,
 * and a device or a pipe is written to as it is, never replaced.
 */
export async function writeWhole(path: string, data: string | Uint8Array): Promise<void> {
  let temporary: string | undefined;
  try {
    const there = await statOrNull(path);
    if (there !== null && !there.isFile()) {
      await writeFile(path, data);
      return;
    }
    await makeFolders(dirname(path));
    const target = there === null ? path : await realpath(path);
    temporary = `${target}.${randomBytes(4).toString('hex')}.part`;
    const handle = await open(temporary, 'wx');
    try {
      await handle.writeFile(data);
    } finally {
      await handle.close();
    }
    await rename(temporary, target);
  } catch (error) {
    if (temporary !== undefined) await rm(temporary, { force: true }).catch(() => undefined);
    throw unwritable(path, error);
  }
}

/**
 * Tells before a long run what `writeWhole` would tell after it, as far as that can be known without writing: the path is
 * a folder, goes through a file, or ends in a folder that may not be written to. Paths that are not given pass.
 */
export async function checkWritable(...paths: readonly (string | undefined)[]): Promise<void> {
  for (const path of paths) {
    if (path === undefined) continue;
    try {
      if ((await statOrNull(path))?.isDirectory()) throw Object.assign(new Error(), { code: 'EISDIR' });
      let at = resolve(path);
      do at = dirname(at);
      while ((await statOrNull(at)) === null && dirname(at) !== at);
      await access(at, constants.W_OK);
    } catch (error) {
      throw unwritable(path, error);
    }
  }
}

function unwritable(path: string, error: unknown): UserError {
  const reason = codeOf(error) === 'ENOENT' ? 'no folder can be made there' : systemReason(error);
  return userError('file-unwritable', `cannot be written: ${reason}`, { file: path });
}

const codeOf = (error: unknown) => (error as NodeJS.ErrnoException | null)?.code;

async function statOrNull(path: string) {
  try {
    return await stat(path);
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return null;
    throw error;
  }
}

/** Makes a folder and those above it. `mkdir` with `recursive` goes round for ever where a file system allows no folders (/proc). */
export async function makeFolders(folder: string): Promise<void> {
  const missing: string[] = [];
  let at = resolve(folder);
  while ((await statOrNull(at)) === null && dirname(at) !== at) {
    missing.push(at);
    at = dirname(at);
  }
  for (const name of missing.reverse()) {
    try {
      await mkdir(name);
    } catch (error) {
      // Another process was quicker.
      if (codeOf(error) !== 'EEXIST') throw error;
    }
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

const PAPER_FONTS = {
  regular: 'regular',
  bold: 'bold',
  mono: 'mono',
  regularExt: 'regular-ext',
  boldExt: 'bold-ext',
  monoExt: 'mono-ext',
} as const;

/** The fonts of a PDF, from the folder beside the bundle. */
export async function readPaperFonts(folder: URL): Promise<Record<keyof typeof PAPER_FONTS, Uint8Array>> {
  const read = async ([name, file]: [string, string]) =>
    [name, new Uint8Array(await readFile(new URL(`${file}.ttf`, folder)))] as const;
  try {
    return Object.fromEntries(await Promise.all(Object.entries(PAPER_FONTS).map(read))) as never;
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') throw error;
    throw userError(
      'fonts-missing',
      `the fonts of the PDF are not in ${fileURLToPath(folder)}: run \`npm run build\`, or write an HTML page in its place`,
    );
  }
}
