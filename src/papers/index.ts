export { codeText } from '../records/bench/code-text.ts';
export { type CartonFacts, cartonFacts, cartonPdf } from './carton.ts';
export { certificatePdf, certificatesPdf, certificateVerdict } from './certificate.ts';
export type { LabelPlace } from './label-layout.ts';
export { checkLayout, placeLabels } from './label-layout.ts';
export type { LabelSheets } from './labels.ts';
export { labelsPdf } from './labels.ts';
export { packingListPdf } from './packing-list.ts';
export type { PagePdfOptions } from './page-pdf.ts';
export { pagePdf } from './page-pdf.ts';
export type { PaperName } from './paper.ts';
export { PAPER_pt } from './paper.ts';

export { quickStartPdf } from './quick-start.ts';
export type { PaperFonts } from './type.ts';
export type {
  Carton,
  Certificate,
  CertificateGate,
  GateVerdict,
  Label,
  LabelLayout,
  LabelOptions,
  LabelRoll,
  LabelSheet,
  PackingList,
  PaperSetting,
  QrLevel,
  QuickStart,
} from './types.ts';
