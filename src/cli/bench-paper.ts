/** Sets a paper of the bench as PDF, with the fonts that stand beside the bundle. */
import type { PaperOutcome } from '../app/bench/papers-of.ts';
import type { PaperSetting } from '../papers/index.ts';
import { madeAt, paperFonts } from './report-file.ts';
import { VERSION } from './version.ts';

export interface SetPaper {
  readonly bytes: Uint8Array;
  /** What the setting found, such as a code too fine for scanners. */
  readonly notes: readonly string[];
  /** Of labels: sheets, or labels of a roll. */
  readonly pages?: number;
  /** Of labels: smallest module of the codes, mm. */
  readonly module_mm?: number;
}

export async function setBenchPaper(outcome: PaperOutcome): Promise<SetPaper> {
  const fonts = await paperFonts();
  return setWith(outcome, { paper: outcome.size, fonts, created: madeAt(), version: VERSION });
}

/** The same with fonts and day of the caller's. */
export async function setWith({ content }: PaperOutcome, setting: PaperSetting): Promise<SetPaper> {
  const papers = await import('../papers/index.ts');
  const alone = async (bytes: Promise<Uint8Array>) => ({ bytes: await bytes, notes: [] });
  switch (content.paper) {
    case 'labels': {
      const { paper: _, labels, ...options } = content;
      return papers.labelsPdf(labels, options, setting);
    }
    case 'certificate':
      return alone(papers.certificatesPdf(content.certificates, setting));
    case 'card':
      return alone(papers.quickStartPdf(content.card, setting));
    case 'carton': {
      const { notes } = papers.cartonFacts(content.carton);
      return { ...(await alone(papers.cartonPdf(content.carton, setting))), notes };
    }
    case 'packing':
      return alone(papers.packingListPdf(content.packing, setting));
  }
}
