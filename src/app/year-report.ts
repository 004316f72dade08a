import type { FrontierMap, YearOutcome, YearPictures } from '../core/energy/index.ts';
import { reportPage } from '../report/index.ts';

/** A year's result as JSON gives it back: typed arrays are lists there. */
export interface PlainYear {
  readonly outcome: YearOutcome;
  readonly pictures: Omit<YearPictures, 'carpet' | 'horizon_deg'> & {
    readonly carpet: readonly number[];
    readonly horizon_deg: readonly number[] | null;
  };
}

/** The report page of a year that was kept as JSON; `frontier` is the map of panel and cells where one was computed. */
export function yearReport(
  { outcome, pictures }: PlainYear,
  frontier: FrontierMap | null,
  generatedFrom: readonly string[],
  fonts?: { readonly regular: string; readonly bold: string; readonly mono: string },
): string {
  // JSON has no NaN: where a life is not known it comes back as null.
  const ceilings = outcome.ageing.ceilings.map((row) => ({ ...row, yearsTo80: row.yearsTo80 ?? Number.NaN }));
  return reportPage({
    outcome: { ...outcome, ageing: { ...outcome.ageing, ceilings } },
    pictures: {
      ...pictures,
      carpet: Float32Array.from(pictures.carpet),
      horizon_deg: pictures.horizon_deg === null ? null : Float32Array.from(pictures.horizon_deg),
      frontier,
    },
    generatedFrom,
    ...(fonts === undefined ? {} : { fonts }),
  });
}
