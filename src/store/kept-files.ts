/** Files that entries of the bench name (migrations/0005): bytes under their digest, each kept once. */
import { createHash } from 'node:crypto';
import type { Kysely } from 'kysely';
import type { KeptFile } from '../app/bench-port.ts';
import { userError } from '../core/units/index.ts';
import { type Entry, keptFileOf } from '../records/bench/index.ts';
import type { Engine } from './engine.ts';
import type { Tables } from './tables.ts';

const digestOf = (content: Uint8Array): string => createHash('sha256').update(content).digest('hex');

/** Keeps bytes, unless they are there; when it is fulfilled they are on the disk. */
export async function keepFile({ db, insertAll }: Engine, content: Uint8Array): Promise<string> {
  const sha256 = digestOf(content);
  if ((await sizesOf(db, sha256)).length > 0) return sha256;
  const row = { sha256, size: content.length, content };
  const query = db
    .insertInto('kept_file')
    .values(row)
    .onConflict((on) => on.doNothing())
    .returning('sha256')
    .compile();
  // False when another was quicker with the same bytes: they are there all the same.
  await insertAll([{ query, rows: 1 }]);
  return sha256;
}

const sizesOf = (db: Kysely<Tables>, sha256?: string): Promise<KeptFile[]> => {
  const all = db.selectFrom('kept_file').select(['sha256', 'size']).orderBy('sha256');
  return (sha256 === undefined ? all : all.where('sha256', '=', sha256)).execute();
};

/** Digests and sizes of all, without their bytes. */
export const keptFiles = (db: Kysely<Tables>): Promise<KeptFile[]> => sizesOf(db);

/** Throws UserError when the bytes are not as they were kept. */
export async function fileOf(db: Kysely<Tables>, sha256: string): Promise<Uint8Array | undefined> {
  const row = await db.selectFrom('kept_file').select('content').where('sha256', '=', sha256).executeTakeFirst();
  if (row === undefined) return undefined;
  if (digestOf(row.content) !== sha256)
    throw userError(
      'workshop-damaged',
      `file ${sha256.slice(0, 12)} is not as it was kept: keep the workshop's file, and go on with the newest backup`,
    );
  return new Uint8Array(row.content);
}

/** Digests that entries name and that are not kept. */
export async function filesMissing(db: Kysely<Tables>, entries: readonly Pick<Entry, 'content'>[]): Promise<string[]> {
  const named = new Set(entries.flatMap(({ content }) => keptFileOf(content)?.sha256 ?? []));
  if (named.size === 0) return [];
  for (const { sha256 } of await sizesOf(db)) named.delete(sha256);
  return [...named];
}

/** Files that are not as they were kept, in words; one at a time, since all together may be large. */
export async function fileDamages(db: Kysely<Tables>): Promise<string[]> {
  const damages: string[] = [];
  for (const { sha256, size } of await sizesOf(db)) {
    const row = await db.selectFrom('kept_file').select('content').where('sha256', '=', sha256).executeTakeFirst();
    if (row === undefined || row.content.length !== size || digestOf(row.content) !== sha256)
      damages.push(`file ${sha256.slice(0, 12)} is not as it was kept`);
  }
  return damages;
}
