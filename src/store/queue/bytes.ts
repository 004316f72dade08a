/** Typed arrays of a run in the database. */
import type pg from 'pg';
import { bytesOf } from './values.ts';

/** No statement is longer than this, whatever the array: bytes come back as text of twice their length. */
const PIECE_bytes = 8 << 20;
/** The part under which the arrays of all inputs lie. */
export const OF_INPUTS = -1;

/** Writes typed arrays under their numbers; `client` is in a transaction. */
export async function writeArrays(
  client: pg.ClientBase,
  run: string,
  part: number,
  arrays: readonly ArrayBufferView[],
): Promise<void> {
  for (const [number, array] of arrays.entries()) {
    const all = bytesOf(array);
    // An empty array has one empty piece: it is there.
    for (let piece = 0; piece === 0 || piece * PIECE_bytes < all.length; piece++) {
      const bytes = all.subarray(piece * PIECE_bytes, (piece + 1) * PIECE_bytes);
      await client.query(
        'insert into sunperch_run.bytes (run, part, number, piece, bytes) values ($1, $2, $3, $4, $5)',
        [run, part, number, piece, Buffer.from(bytes.buffer as ArrayBuffer, bytes.byteOffset, bytes.byteLength)],
      );
    }
  }
}

/** Bytes of one array, in memory that threads can share; undefined when the run is gone. */
export async function readArray(
  pool: pg.Pool,
  run: string,
  part: number,
  number: number,
): Promise<Uint8Array | undefined> {
  const key = [run, part, number];
  const which = 'from sunperch_run.bytes where run = $1 and part = $2 and number = $3';
  const { rows } = await pool.query<{ piece: number; length: number }>(
    `select piece, length(bytes) as length ${which} order by piece`,
    key,
  );
  if (rows.length === 0) return undefined;
  const all = new Uint8Array(new SharedArrayBuffer(rows.reduce((sum, { length }) => sum + length, 0)));
  for (const { piece, length } of rows) {
    const found = await pool.query<{ bytes: Buffer }>(`select bytes ${which} and piece = $4`, [...key, piece]);
    const bytes = found.rows[0]?.bytes;
    if (bytes?.length !== length) return undefined;
    all.set(bytes, piece * PIECE_bytes);
  }
  return all;
}

/** The numbers of the arrays that a text of `toText` asks for. */
export function arraysIn(text: string): number[] {
  const numbers = new Set<number>();
  JSON.parse(text, (_key, item: unknown) => {
    const marked = item as { $?: unknown; bytes?: unknown } | null;
    if (marked !== null && typeof marked === 'object' && marked.$ === 'array') numbers.add(Number(marked.bytes));
    return item;
  });
  return [...numbers];
}
