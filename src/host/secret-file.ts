import { randomBytes } from 'node:crypto';
import { open, rename, rm } from 'node:fs/promises';
import { userError } from '../core/units/index.ts';
import { systemReason } from './files.ts';

/** Writes a file that only its owner may read, whole or not at all. */
export async function writeSecret(path: string, text: string): Promise<void> {
  const temporary = `${path}.${randomBytes(4).toString('hex')}.part`;
  try {
    const handle = await open(temporary, 'wx', 0o600);
    try {
      await handle.writeFile(text);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true }).catch(() => undefined);
    throw userError('file-unwritable', `cannot be written: ${systemReason(error)}`, { file: path });
  }
}
