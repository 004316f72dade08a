/** Files that a command is to write, looked at before it begins. */
import { extname, resolve } from 'node:path';
import { userError } from '../core/units/index.ts';

/** What an option writes, by the end of the name. */
const KIND: Readonly<Record<string, string>> = { '--svg': '.svg', '--map': '.svg', '--png': '.png' };
const OTHER_KINDS = new Set([
  '.svg',
  '.png',
  '.jpg',
  '.jpeg',
  '.gif',
  '.webp',
  '.tif',
  '.tiff',
  '.pdf',
  '.html',
  '.json',
  '.csv',
]);

/** Throws UserError where a name ends as another kind of file does, two options name one file, or one of them cannot be written: a slip costs no minute of computing. */
export async function checkOutputs(files: Readonly<Record<string, string | undefined>>): Promise<void> {
  const named = new Map<string, string>();
  for (const [option, file] of Object.entries(files)) {
    if (file === undefined) continue;
    const kind = KIND[option];
    const end = extname(file).toLowerCase();
    if (kind !== undefined && end !== kind && OTHER_KINDS.has(end))
      throw userError(
        'output-kind',
        `${option} writes ${kind.slice(1).toUpperCase()}, and ${file} ends in ${end}: let it end in ${kind}`,
        {
          file,
          field: option,
        },
      );
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
