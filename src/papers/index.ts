export type { PagePdfOptions } from './page-pdf.ts';
export { pagePdf } from './page-pdf.ts';
export type { PaperName } from './paper.ts';
export { PAPER_pt } from './paper.ts';
export type { PaperFonts } from './type.ts';
