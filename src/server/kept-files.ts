/** Files of the workshop as they come in a request and go out in an answer. */
import { z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import type { Bench } from '../app/bench/act.ts';
import { userError } from '../core/units/index.ts';
import { EVIDENCE_MOST_bytes } from '../records/bench/index.ts';

/** Fields of a request that brings a file of some kinds. */
export const sentFile = (kinds: string) => ({
  name: z.string().min(1).max(200).openapi({ description: 'Name of the file' }),
  base64: z
    .string()
    .min(4)
    .max(4 * Math.ceil(EVIDENCE_MOST_bytes / 3))
    .openapi({ description: `The file in base64: ${kinds}, at most ${EVIDENCE_MOST_bytes / 1e6} MB` }),
  by: z.string().min(1).max(200),
  token: z
    .string()
    .regex(/^[0-9A-Za-z-]{8,80}$/)
    .openapi({ description: 'What is sent again with the same token is done once' }),
});

export const digestInPath = z
  .string()
  .regex(/^[0-9a-f]{64}$/, { error: 'a digest is 64 hexadecimal digits' })
  .openapi({ param: { name: 'digest', in: 'path' } });

const binary = z.string().openapi({ description: 'The file as it came', format: 'binary' });
/** The answer that is a file of one of some types. */
export const fileAnswer = (description: string, types: readonly string[]) => ({
  description,
  content: Object.fromEntries(types.map((type) => [type, { schema: binary }])),
});

/**
 * Bytes of a file in base 64.
 *
 * @throws UserError when it is written in another way than the one
 */
export function bytesIn(base64: string): Buffer {
  const content = Buffer.from(base64, 'base64');
  if (content.toString('base64') === base64) return content;
  throw userError('no-base64', 'base64 is wanted, with its = at the end and without line breaks', { field: 'base64' });
}

export interface KeptFile {
  readonly sha256: string;
  readonly name: string;
  readonly type: string;
}

/** Nothing in a kept file may run under the name of the workbench. */
const FILE_POLICY = "default-src 'none'; sandbox";

/** Answers with a kept file: to be saved under its name, or to be shown. */
export async function sendKept(c: Context, bench: Bench, file: KeptFile, saved: boolean): Promise<Response> {
  const { sha256, name, type } = file;
  const content = await bench.store.file(sha256);
  if (content === undefined)
    throw userError('no-such-file', `the bytes of ${name} are missing: go on with the newest backup`);
  if (saved) c.header('content-disposition', disposition(name));
  c.header('content-security-policy', FILE_POLICY);
  const said = type === 'text/plain' ? 'text/plain; charset=utf-8' : type;
  return c.body(content as Uint8Array<ArrayBuffer>, 200, { 'content-type': said });
}

/** Saved under its name: plain letters for old programs, the whole name for the others (RFC 6266, RFC 8187). */
export function disposition(name: string): string {
  const plain =
    name
      .normalize('NFKD')
      .replace(/[^\x20-\x7e]/g, '')
      .replace(/["\\%]/g, '-') || 'file';
  const whole = encodeURIComponent(name).replace(
    /['()*]/g,
    (sign) => `%${sign.charCodeAt(0).toString(16).toUpperCase()}`,
  );
  return `attachment; filename="${plain}"; filename*=UTF-8''${whole}`;
}
