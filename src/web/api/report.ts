/** The report of a year as PDF: the server computes the year that is on the page, and sets it on paper. */
import type { JobRequest, JobStatus, ProblemAnswer, ReportRequest, YearAnswer } from '../../server/api.ts';
import { Refused, runJob, Unreachable } from './client.ts';

export type PaperName = NonNullable<ReportRequest['paper']>;

/** Paper that is usual where the browser's language is spoken: Letter in North America, A4 elsewhere. */
export const usualPaper = (language: string): PaperName => (/-(US|CA|MX)\b/i.test(language) ? 'letter' : 'A4');

export async function yearPdf(
  request: JobRequest,
  paper: PaperName,
  onProgress: (status: JobStatus) => void,
): Promise<Blob> {
  let key = '';
  await runJob<YearAnswer>(request, (status) => {
    key = status.key;
    onProgress(status);
  }).result;
  let answer: Response;
  try {
    answer = await fetch('/api/report', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ year: key, format: 'pdf', paper } satisfies ReportRequest),
    });
  } catch {
    throw new Unreachable();
  }
  if (answer.ok) return answer.blob();
  const told = (await answer.json().catch(() => ({}))) as Partial<ProblemAnswer>;
  throw new Refused(
    answer.status,
    told.problems ?? [{ code: `http-${answer.status}`, message: `the server answered ${answer.status}` }],
  );
}
