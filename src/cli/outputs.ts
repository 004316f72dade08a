/** Files that a command is to write, looked at before it begins. */
import { resolve } from 'node:path';
import { userError } from '../core/units/index.ts';

/** Throws UserError where two options name one file, or one of them cannot be written: a slip costs no minute of computing. */
export async function checkOutputs(files: Readonly<Record<string, string | undefined>>): Promise<void> {
  const named = new Map<string, string>();
  for (const [option, file] of Object.entries(files)) {
    if (file === undefined) continue;
    const before = named.get(resolve(file));
    if (before !== undefined)
      throw userError('output-twice', `${before} and ${option} name one file: each is written by itself, so name two`, {
        file,
        field: option,
      });
    named.set(resolve(file), option);
  }
  await (await import('../host/files.ts')).checkWritable(...named.keys());
}
