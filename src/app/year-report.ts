import type { FrontierMap, YearOutcome, YearPictures } from '../core/energy/index.ts';
import { type Page, reportDocument } from '../report/index.ts';
import { pageLayout } from '../report/layout.ts';

export type { Page } from '../report/index.ts';
export type PaperName = 'A4' | 'letter';

/** A year's result as JSON gives it back: typed arrays are lists there. */
export interface PlainYear {
  readonly outcome: YearOutcome;
  readonly pictures: Omit<YearPictures, 'carpet' | 'horizon_deg'> & {
    readonly carpet: readonly number[];
    readonly horizon_deg: readonly number[] | null;
  };
}

/** A year that was kept as JSON as a report, to be laid out or set on paper; `frontier` is the map of panel and cells where one was computed. */
export function yearDocument(
  { outcome, pictures }: PlainYear,
  frontier: FrontierMap | null,
  generatedFrom: readonly string[],
): Page {
  // JSON has no NaN: where a life is not known it comes back as null.
  const ceilings = outcome.ageing.ceilings.map((row) => ({ ...row, yearsTo80: row.yearsTo80 ?? Number.NaN }));
  return reportDocument({
    outcome: { ...outcome, ageing: { ...outcome.ageing, ceilings } },
    pictures: {
      ...pictures,
      carpet: Float32Array.from(pictures.carpet),
      horizon_deg: pictures.horizon_deg === null ? null : Float32Array.from(pictures.horizon_deg),
      frontier,
    },
    generatedFrom,
  });
}

/** A report as an HTML page. */
export const pageHtml = (
  page: Page,
  fonts?: { readonly regular: string; readonly bold: string; readonly mono: string },
): string => pageLayout({ ...page, ...(fonts === undefined ? {} : { fonts }) });
