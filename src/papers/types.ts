/** What the bench's papers are made of: plain values, as JSON has them. Keys and other secrets have no place in any of them. */

import type { LabelLayout } from '../records/bench/label-layout.ts';
import type { QrLevel } from '../records/bench/papers.ts';
import type { PaperName } from './paper.ts';
import type { PaperFonts } from './type.ts';

export type { LabelLayout, LabelRoll, LabelSheet } from '../records/bench/label-layout.ts';
export type {
  Carton,
  Certificate,
  CertificateGate,
  GateVerdict,
  Label,
  PackingList,
  QrLevel,
  QuickStart,
} from '../records/bench/papers.ts';

/** What every paper takes besides its content. */
export interface PaperSetting {
  readonly paper: PaperName;
  readonly fonts: PaperFonts;
  readonly created: Date;
  readonly version: string;
}

export interface LabelOptions {
  readonly layout: LabelLayout;
  readonly level: QrLevel;
  /** Place on the first sheet of the first label, counted row by row from 1. */
  readonly startAt?: number;
  /** The edges of the labels, for a trial on plain paper. */
  readonly outline?: boolean;
  /** The serial as Code 128 too, for scanners that read no QR. */
  readonly barcode?: boolean;
}
