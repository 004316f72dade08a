/** Papers of the bench, set by the server. */
import type { ProblemAnswer } from '../../server/api.ts';
import { Refused, Unreachable } from './client.ts';

export interface Paper {
  readonly file: Blob;
  readonly name: string;
  /** What to know before it is printed. */
  readonly notes: readonly string[];
}

export async function getPaper(body: Readonly<Record<string, unknown>>): Promise<Paper> {
  let answer: Response;
  try {
    answer = await fetch('/api/bench/papers', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
  } catch {
    throw new Unreachable();
  }
  if (!answer.ok) {
    const told = (await answer.json().catch(() => ({}))) as Partial<ProblemAnswer>;
    throw new Refused(
      answer.status,
      told.problems ?? [{ code: `http-${answer.status}`, message: `the server answered ${answer.status}` }],
    );
  }
  const named = /filename="([^"]+)"/.exec(answer.headers.get('content-disposition') ?? '');
  return {
    file: await answer.blob(),
    name: named?.[1] ?? 'paper.pdf',
    notes: JSON.parse(decodeURIComponent(answer.headers.get('paper-notes') ?? '%5B%5D')) as string[],
  };
}
