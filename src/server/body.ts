/** What may come in: JSON of a size and depth that a record needs, nothing else. Written down here, checked before anything reads it. */
import type { MiddlewareHandler } from 'hono';
import { Refusal } from './problems.ts';

/** A kit takes a few kilobytes, a job may bring a file of ground cover, the bench logs and tables; each limit is far above need and far below harm. Only `application/json` in UTF-8 is taken. */
export const BODY_LIMITS = {
  bytes: 1_000_000,
  jobBytes: 5_000_000,
  fileBytes: 14_000_000,
  depth: 40,
  entries: 100_000,
} as const;

/** A zero byte, or half of a surrogate pair: no database keeps either. */
const NO_SIGN = /\0|\p{Surrogate}/u;

const CHANGING = new Set(['POST', 'PUT', 'PATCH']);

/**
 * Reads the body of a changing request and refuses what is no JSON, too deep, too long, or would touch the prototype of an
 * object. A browser's form cannot send JSON unasked, so this also stands against forged requests (ASVS V3.5.1). Bodies of
 * other requests are never read.
 */
export const checkBody: MiddlewareHandler = async (c, next) => {
  if (!CHANGING.has(c.req.method)) return next();
  const type = c.req.header('content-type') ?? '';
  if (!/^application\/json\s*(;\s*charset=["']?utf-8["']?\s*)?$/i.test(type))
    throw new Refusal(415, 'not-json', 'the body has to be JSON: send content-type: application/json');
  const text = await readLimited(c.req.raw.body, c.req.header('content-length'), mostOf(c.req.path));
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new Refusal(400, 'not-json', text === '' ? 'the body is empty: JSON is wanted' : 'the body is no valid JSON');
  }
  const wrong = shapeProblem(value);
  if (wrong !== undefined) throw new Refusal(400, 'bad-shape', wrong);
  // What was read and checked here is what the routes get.
  c.req.bodyCache.json = Promise.resolve(value);
  return next();
};

const WITH_FILES = new Set(['/api/jobs', '/api/bench/measure', '/api/bench/import']);
/** A kept file of 10 MB in base 64, and what is told of it. */
const WHOLE_FILES = new Set(['/api/bench/evidence', '/api/bench/drawings']);
const mostOf = (path: string): number =>
  WHOLE_FILES.has(path) ? BODY_LIMITS.fileBytes : WITH_FILES.has(path) ? BODY_LIMITS.jobBytes : BODY_LIMITS.bytes;

/** The body as text; refused by its told length before it is read, else as soon as it is too long. */
async function readLimited(
  body: ReadableStream<Uint8Array> | null,
  told: string | undefined,
  most: number,
): Promise<string> {
  if (Number(told) > most) throw tooLarge(most);
  if (body === null) return '';
  const decoder = new TextDecoder('utf-8', { fatal: true });
  const reader = body.getReader();
  let text = '';
  let bytes = 0;
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return text + decoder.decode();
      bytes += value.length;
      if (bytes > most) throw tooLarge(most);
      text += decoder.decode(value, { stream: true });
    }
  } catch (error) {
    await reader.cancel().catch(() => undefined);
    if (error instanceof TypeError) throw new Refusal(400, 'not-json', 'the body is cut off, or no UTF-8');
    throw error;
  }
}

const tooLarge = (most: number) => new Refusal(413, 'too-large', `at most ${most / 1e6} MB are taken at once`);

/** Why a value is not taken, or undefined. Without recursion, so that depth cannot end the process. */
export function shapeProblem(value: unknown): string | undefined {
  const stack: [unknown, number][] = [[value, 0]];
  let entries = 0;
  for (let entry = stack.pop(); entry !== undefined; entry = stack.pop()) {
    const [item, depth] = entry;
    if (++entries > BODY_LIMITS.entries) return `more than ${BODY_LIMITS.entries} entries: this is no kit or perch`;
    if (typeof item === 'string' && NO_SIGN.test(item))
      return 'a text holds a sign that is none (a zero byte, or half of a pair)';
    if (typeof item !== 'object' || item === null) continue;
    if (depth >= BODY_LIMITS.depth) return `nested more than ${BODY_LIMITS.depth} levels deep: a record needs six`;
    if (Array.isArray(item)) for (const child of item) stack.push([child, depth + 1]);
    else
      for (const key of Object.keys(item)) {
        if (key === '__proto__') return '__proto__ is no key of a record';
        stack.push([(item as Record<string, unknown>)[key], depth + 1]);
      }
  }
  return undefined;
}
