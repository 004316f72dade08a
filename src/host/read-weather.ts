import { createReadStream } from 'node:fs';
import { open, stat } from 'node:fs/promises';
import { pipeline } from 'node:stream/promises';
import { createGunzip } from 'node:zlib';
import { UserError, userError } from '../core/units/index.ts';
import { type DailyFile, type WeatherFile, type WeatherReadOptions, weatherReader } from '../formats/weather/index.ts';

/** Thrown inside to begin again with another character set. */
class NotUtf8 extends Error {}

/**
 * Reads a weather file from disk in pieces, plain or gzipped (known by its first bytes, not by its name), in UTF-8 or
 * UTF-16 with a byte-order mark, else in Latin-1. See `weatherReader` for formats and checks.
 *
 * Throws a UserError for whatever the user can mend: no such file, no right to read it, a directory, a cut or damaged
 * gzip, and all that is wrong with the contents.
 */
export async function readWeather(path: string, options: WeatherReadOptions = {}): Promise<WeatherFile | DailyFile> {
  try {
    const head = await firstBytes(path);
    const gzipped = head[0] === 0x1f && head[1] === 0x8b;
    const encoding =
      head[0] === 0xff && head[1] === 0xfe ? 'utf-16le' : head[0] === 0xfe && head[1] === 0xff ? 'utf-16be' : 'utf-8';
    try {
      return await readAs(path, encoding, gzipped, options);
    } catch (error) {
      if (!(error instanceof NotUtf8)) throw error;
      const read = await readAs(path, 'latin1', gzipped, options);
      return { ...read, notes: [...read.notes, 'The text is not UTF-8: it is read as Latin-1.'] };
    }
  } catch (error) {
    throw told(error, path);
  }
}

async function firstBytes(path: string): Promise<Uint8Array> {
  if ((await stat(path)).isDirectory()) {
    throw userError('file.directory', 'This is a directory: name the weather file in it.', { file: path });
  }
  const file = await open(path);
  try {
    const head = new Uint8Array(2);
    await file.read(head, 0, 2, 0);
    return head;
  } finally {
    await file.close();
  }
}

async function readAs(
  path: string,
  encoding: string,
  gzipped: boolean,
  options: WeatherReadOptions,
): Promise<WeatherFile | DailyFile> {
  const reader = weatherReader(path, options);
  const decoder = new TextDecoder(encoding, { fatal: encoding === 'utf-8' });
  const decode = (chunk?: Uint8Array): string => {
    try {
      return chunk === undefined ? decoder.decode() : decoder.decode(chunk, { stream: true });
    } catch (error) {
      if (error instanceof TypeError) throw new NotUtf8();
      throw error;
    }
  };
  let refused: unknown;
  const take = async (chunks: AsyncIterable<Uint8Array>) => {
    try {
      for await (const chunk of chunks) reader.push(decode(chunk));
      reader.push(decode());
    } catch (error) {
      refused = error;
      throw error;
    }
  };
  const source = createReadStream(path);
  try {
    if (gzipped) await pipeline(source, createGunzip(), take);
    else await pipeline(source, take);
  } catch (error) {
    // Where the reader refuses in the middle, the pipeline may tell only that the streams were stopped.
    throw refused ?? error;
  }
  return reader.end();
}

const SENTENCES: Readonly<Record<string, readonly [code: string, sentence: string]>> = {
  ENOENT: ['file.absent', 'There is no such file.'],
  ENOTDIR: ['file.absent', 'There is no such file: a part of its path is no directory.'],
  EACCES: ['file.unreadable', 'The file may not be read: its permissions forbid it.'],
  EPERM: ['file.unreadable', 'The file may not be read: its permissions forbid it.'],
  EISDIR: ['file.directory', 'This is a directory: name the weather file in it.'],
  ENAMETOOLONG: ['file.absent', 'There is no such file: the path is too long.'],
  ELOOP: ['file.absent', 'There is no such file: its links go round in a circle.'],
  ERR_INVALID_ARG_VALUE: ['file.absent', 'There is no such file: the path has a sign that no path can have.'],
  EIO: ['file.unreadable', 'The file cannot be read: the disk reports an error.'],
  Z_BUF_ERROR: ['file.cutGzip', 'The gzip file is cut off before its end: fetch it again.'],
  Z_DATA_ERROR: ['file.damagedGzip', 'The gzip file is damaged: fetch it again.'],
};

/** The error as the user's problem where it is one, else as it was. */
function told(error: unknown, file: string): unknown {
  if (error instanceof UserError || !(error instanceof Error) || !('code' in error)) return error;
  const sentence = SENTENCES[String(error.code)];
  return sentence === undefined ? error : userError(sentence[0], sentence[1], { file });
}
