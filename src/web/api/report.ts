/** Reports made by the server: it computes what is on the page, and lays it out or sets it on paper. */
import type { JobRequest, JobStatus, ProblemAnswer, ReportRequest } from '../../server/api.ts';
import { Refused, type RunningJob, runJob, Unreachable } from './client.ts';

export type PaperName = NonNullable<ReportRequest['paper']>;

/** Paper that is usual where the browser's language is spoken: Letter in North America, A4 elsewhere. */
export const usualPaper = (language: string): PaperName => (/-(US|CA|MX)\b/i.test(language) ? 'letter' : 'A4');

export const yearPdf = (
  request: JobRequest,
  paper: PaperName,
  onProgress: (status: JobStatus) => void,
): Promise<Blob> => reportOf(request, (year) => ({ year, format: 'pdf', paper }), onProgress).result;

/** The report of a reach; without a paper an HTML page. */
export const reachReport = (
  request: JobRequest,
  paper: PaperName | null,
  onProgress: (status: JobStatus) => void,
): RunningJob<Blob> =>
  reportOf(
    { ...request, report: true },
    (reach) => (paper === null ? { reach } : { reach, format: 'pdf', paper }),
    onProgress,
  );

/** Runs the job, then asks for the report of its result. */
function reportOf(
  request: JobRequest,
  wanted: (key: string) => ReportRequest,
  onProgress: (status: JobStatus) => void,
): RunningJob<Blob> {
  let key = '';
  const job = runJob<unknown>(request, (status) => {
    key = status.key;
    onProgress(status);
  });
  return { result: job.result.then(() => fetchReport(wanted(key))), stop: job.stop };
}

async function fetchReport(request: ReportRequest): Promise<Blob> {
  let answer: Response;
  try {
    answer = await fetch('/api/report', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(request),
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
