/** Writes a report where `--report` names it: the ending decides between an HTML page and a PDF. */
import { type Command, Option } from 'commander';
import { userError } from '../core/units/index.ts';
import type { PaperName } from '../papers/index.ts';
import type { Page } from '../report/index.ts';
import { VERSION } from './version.ts';
import { pageFonts } from './wiring.ts';

export interface ReportArguments {
  readonly report?: string;
  readonly paper?: PaperName;
}

/** Adds the option that chooses the paper of a PDF. */
export function withPaper(command: Command): Command {
  return command.addOption(
    new Option('--paper <name>', 'paper of a report that ends in .pdf (default A4)').choices(['A4', 'letter']),
  );
}

const isPdf = (file: string) => /\.pdf$/i.test(file);

/** Where it was written, as the last line of a command says. */
export const reportLine = (file: string): string => `${isPdf(file) ? 'Report' : 'Report page'}: ${file}`;

/** Before anything is computed: that the report can be written, and that a paper goes with a PDF. */
export async function checkReport({ report, paper }: ReportArguments): Promise<void> {
  if (paper !== undefined && (report === undefined || !isPdf(report)))
    throw userError(
      'report.paper',
      report === undefined
        ? '--paper is for a report on paper: add --report FILE.pdf'
        : `--paper is for a PDF, and ${report} becomes an HTML page: name a file that ends in .pdf`,
      { field: '--paper' },
    );
  await (await import('../host/files.ts')).checkWritable(report);
}

/** Writes the whole file or none. */
export async function writeReport(page: Page, { report, paper }: ReportArguments): Promise<void> {
  if (report === undefined) return;
  const { writeWhole } = await import('../host/files.ts');
  if (isPdf(report)) await writeWhole(report, await setOnPaper(page, paper ?? 'A4'));
  else {
    const { pageLayout } = await import('../report/layout.ts');
    await writeWhole(report, pageLayout({ ...page, ...(await pageFonts()) }));
  }
}

/** A report as PDF, with the fonts that stand beside the bundle. */
export async function setOnPaper(page: Page, paper: PaperName): Promise<Uint8Array> {
  const [{ pagePdf }, fonts] = await Promise.all([import('../papers/index.ts'), paperFonts()]);
  return pagePdf(page, { paper, fonts, created: madeAt(), version: VERSION });
}

export async function paperFonts() {
  const [{ readPaperFonts }, { existsSync }] = await Promise.all([import('../host/files.ts'), import('node:fs')]);
  const beside = new URL('./fonts/', import.meta.url);
  // Run from the source, the fonts are those of the last build.
  return readPaperFonts(existsSync(beside) ? beside : new URL('../../dist/fonts/', import.meta.url));
}

/** Now; or the time that SOURCE_DATE_EPOCH names (seconds), for files that must come out the same again. */
export function madeAt(): Date {
  const given = process.env.SOURCE_DATE_EPOCH;
  const seconds = Number(given);
  return given === undefined || given.trim() === '' || !Number.isFinite(seconds)
    ? new Date()
    : new Date(seconds * 1000);
}
