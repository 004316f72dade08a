import type { YearPictures } from '../../../core/energy/index.ts';
import type { CsvRows } from '../../parts/csv.ts';
import { figures, format } from '../../state/settings.ts';

type FanData = Pick<YearPictures, 'fan' | 'startDay'>;

/** The values of a fan at a share 0..1 of its width, in a sentence. */
export function fanValues({ fan, startDay }: FanData, x: number): string {
  const percent = (v: number) => format.value.percent(v);
  const d = Math.min(364, Math.floor(x * 365));
  return `${figures.value.day(startDay + d)}: half of the years above ${percent(fan.p50[d]!)}, one in ten below ${percent(fan.p10[d]!)}, one in a hundred below ${percent(fan.p01[d]!)}; chance of a dark hour ${percent(fan.dark[d]!)}`;
}

export const fanCsv = ({ fan, startDay }: FanData): CsvRows => [
  ['day_of_year', 'soc_p01', 'soc_p10', 'soc_p50', 'soc_p90', 'dark_share'],
  ...fan.p50.map((_, d) => [
    ((startDay + d) % 365) + 1,
    fan.p01[d]!,
    fan.p10[d]!,
    fan.p50[d]!,
    fan.p90[d]!,
    fan.dark[d]!,
  ]),
];
