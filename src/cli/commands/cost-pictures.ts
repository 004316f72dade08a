/** Outcomes of cost as pictures and as a page. */
import type { BreakEvenOutcome } from '../../app/bench/cost-even.ts';
import type { NextOutcome } from '../../app/bench/cost-next.ts';
import type { CostOverview } from '../../app/bench/cost-overview.ts';
import { costPageOf, crossoverPictureOf, evenPictureOf, profitPictureOf } from '../../app/bench/cost-pictures.ts';
import type { CrossoverOutcome } from '../../app/bench/cost-tool.ts';
import { breakEvenChart, costDocument, crossoverChart, type Page, profitChart } from '../../report/index.ts';

export const evenPicture = (o: BreakEvenOutcome): string => breakEvenChart(evenPictureOf(o));
export const crossoverPicture = (o: CrossoverOutcome): string => crossoverChart(crossoverPictureOf(o));
export const profitPicture = (o: NextOutcome): string => profitChart(profitPictureOf(o));

export const costPage = (o: CostOverview, assume: string | undefined): Page =>
  costDocument(costPageOf(o, assume === undefined ? [] : [assume]));
