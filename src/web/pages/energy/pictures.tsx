/** The pictures of a winter; those that a first look has follow at once, the others when the exact run is done. */
import { useCallback, useMemo } from 'preact/hooks';
import { MONTH_START } from '../../../core/units/index.ts';
import {
  ageingChart,
  ageingSentence,
  carpetPlot,
  carpetSentence,
  fanChart,
  fanSentence,
  harvestChart,
  harvestSentence,
  monthName,
  spellsChart,
  spellsSentence,
  sunPathChart,
  sunPathSentence,
} from '../../../report/index.ts';
import type { CsvRows } from '../../parts/csv.ts';
import { Picture } from '../../parts/picture.tsx';
import type { Place } from '../../parts/readout.ts';
import * as design from '../../state/design.ts';
import { format } from '../../state/settings.ts';

type Options = { width: number; id: string; standalone: boolean };

/** Day of the year counted from zero, as `21 Dec`. */
function dayText(day: number): string {
  const d = ((Math.floor(day) % 365) + 365) % 365;
  const m = MONTH_START.findLastIndex((begin, i) => i < 12 && begin <= d);
  return `${d - MONTH_START[m]! + 1} ${monthName(m + 1).slice(0, 3)}`;
}

export function Pictures() {
  const shown = design.shown.value;
  if (shown === null) return null;
  return (
    <>
      <FanPicture />
      <div class="two">
        <HarvestPicture />
        <AgeingPicture />
      </div>
      <CarpetPicture />
      <SunPathPicture />
      <SpellsPicture />
    </>
  );
}

const nameOf = () => {
  const shown = design.shown.value;
  return shown ? `${shown.kit} at ${shown.perch}` : '';
};

function FanPicture() {
  const shown = design.shown.value!;
  const { fan, startDay, marks } = shown;
  const data = useMemo(() => ({ fan, startDay, marks }), [fan, startDay, marks]);
  const draw = useCallback((o: Options) => fanChart(data, o), [data]);
  const percent = (v: number) => format.value.percent(v);
  const readout = ({ x }: Place) => {
    const d = Math.min(364, Math.floor(x * 365));
    return `${dayText(startDay + d)}: half of the years above ${percent(fan.p50[d]!)}, one in ten below ${percent(fan.p10[d]!)}, one in a hundred below ${percent(fan.p01[d]!)}; chance of a dark hour ${percent(fan.dark[d]!)}`;
  };
  const csv = (): CsvRows => [
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
  return (
    <Picture
      id="fan"
      heading="State of charge over the year"
      said={fanSentence(data)}
      name={nameOf()}
      {...{ draw, csv, readout }}
      steps={73}
    />
  );
}

function HarvestPicture() {
  const { months } = design.shown.value!;
  const draw = useCallback((o: Options) => harvestChart(months, { ...o, width: Math.min(o.width, 480) }), [months]);
  const figure = (v: number) => format.value.figure(v);
  const readout = ({ x }: Place) => {
    const m = months[Math.min(11, Math.floor(x * 12))]!;
    return `${monthName(m.month)}: harvest ${figure(m.harvest_Wh_day)} Wh a day, need ${figure(m.need_Wh_day)}`;
  };
  const csv = (): CsvRows => [
    ['month', 'harvest_Wh_day', 'need_Wh_day', 'poa_kWh_m2_day', 'ghi_kWh_m2_day', 'temperature_degC', 'dark_h'],
    ...months.map((m) => [
      m.month,
      m.harvest_Wh_day,
      m.need_Wh_day,
      m.poa_kWh_m2_day,
      m.ghi_kWh_m2_day,
      m.temperature_degC,
      m.dark_h,
    ]),
  ];
  return (
    <Picture
      id="harvest"
      heading="Harvest against need"
      said={harvestSentence(months)}
      name={nameOf()}
      {...{ draw, csv, readout }}
      steps={12}
      most={480}
    />
  );
}

/** The exact result, and whether it is of another design than the one in hand. */
function useExact() {
  const result = design.exact.value;
  return result === null ? null : { ...result, stale: !design.isExact.value };
}

function AgeingPicture() {
  const result = useExact();
  const ageing = result?.outcome.ageing;
  const draw = useCallback(
    (o: Options) => (ageing ? ageingChart(ageing, { ...o, width: Math.min(o.width, 480) }) : ''),
    [ageing],
  );
  if (result === null || ageing === undefined)
    return <Pending id="ageing" heading="Ageing of the cells" height={256} />;
  const last = ageing.years.at(-1) ?? 1;
  const readout = ({ x }: Place) => {
    const wanted = x * last;
    const i = ageing.years.reduce(
      (best, y, k) => (Math.abs(y - wanted) < Math.abs(ageing.years[best]! - wanted) ? k : best),
      0,
    );
    return `after ${format.value.figure(ageing.years[i]!)} years: ${format.value.percent(ageing.capacityShare[i]!)}; second opinion ${format.value.percent(ageing.capacityShareSecond[i]!)}`;
  };
  const csv = (): CsvRows => [
    ['age_years', 'capacity_share', 'capacity_share_second_opinion'],
    ...ageing.years.map((y, i) => [y, ageing.capacityShare[i] ?? null, ageing.capacityShareSecond[i] ?? null]),
  ];
  return (
    <Picture
      id="ageing"
      heading="Ageing of the cells"
      said={ageingSentence(ageing)}
      name={nameOf()}
      {...{ draw, csv }}
      {...(ageing.modelled ? { readout } : {})}
      steps={ageing.years.length || 1}
      most={480}
      stale={result.stale}
    />
  );
}

function CarpetPicture() {
  const result = useExact();
  const pictures = result?.pictures;
  const draw = useCallback(
    (o: Options) =>
      pictures ? carpetPlot(pictures.carpet, pictures.startDay, { ...o, year: pictures.carpetYear }) : '',
    [pictures],
  );
  if (result === null || pictures === undefined)
    return <Pending id="carpet" heading="The worst year, hour by hour" height={300} />;
  const { carpet, startDay } = pictures;
  const readout = ({ x, y }: Place) => {
    const day = Math.min(364, Math.floor(x * 365));
    if (y !== null) {
      const hour = Math.min(23, Math.floor(y * 24));
      const soc = carpet[day * 24 + hour]!;
      return `${dayText(startDay + day)}, ${hour} to ${hour + 1} h: ${soc < 0 ? 'dark' : format.value.percent(soc)}`;
    }
    const hours = carpet.subarray(day * 24, day * 24 + 24);
    const dark = hours.filter((v) => v < 0).length;
    const least = Math.min(...hours.filter((v) => v >= 0));
    return `${dayText(startDay + day)}: ${dark === 0 ? 'no dark hour' : `${dark} dark hours`}${Number.isFinite(least) ? `, lowest ${format.value.percent(least)}` : ''}`;
  };
  const csv = (): CsvRows => [
    ['day_of_year', 'hour', 'soc', 'dark'],
    ...Array.from(carpet, (v, h) => [
      ((startDay + Math.floor(h / 24)) % 365) + 1,
      h % 24,
      v < 0 ? null : v,
      v < 0 ? 1 : 0,
    ]),
  ];
  return (
    <Picture
      id="carpet"
      heading="The worst year, hour by hour"
      said={carpetSentence(carpet, startDay)}
      name={nameOf()}
      {...{ draw, csv, readout }}
      steps={73}
      stale={result.stale}
    />
  );
}

function SunPathPicture() {
  const result = useExact();
  const input = useMemo(
    () =>
      result === null
        ? null
        : {
            ...result.outcome.place,
            horizon_deg: result.pictures.horizon_deg,
            darkestMonth: result.outcome.worstMonth,
          },
    [result?.outcome, result?.pictures],
  );
  const draw = useCallback((o: Options) => (input ? sunPathChart(input, o) : ''), [input]);
  if (result === null || input === null) return <Pending id="sunpath" heading="Sun paths and skyline" height={344} />;
  const horizon = input.horizon_deg;
  const csv = (): CsvRows => [
    ['azimuth_deg', 'skyline_deg'],
    ...Array.from({ length: 360 }, (_, a) => [a, horizon?.[a] ?? 0]),
  ];
  return (
    <Picture
      id="sunpath"
      heading="Sun paths and skyline"
      said={sunPathSentence(input)}
      name={nameOf()}
      {...{ draw, csv }}
      stale={result.stale}
    />
  );
}

function SpellsPicture() {
  const result = useExact();
  const spells = result?.pictures.spells;
  const draw = useCallback(
    (o: Options) => (spells ? spellsChart(spells, { ...o, width: Math.min(o.width, 480) }) : ''),
    [spells],
  );
  if (result === null || spells === undefined || spells.length === 0) return null;
  const csv = (): CsvRows => [
    ['spell_days', 'return_period_years', 'share_of_mean'],
    ...spells.map((s) => [s.days, s.period_years, s.share]),
  ];
  return (
    <Picture
      id="spells"
      heading="Dark spells"
      said={spellsSentence(spells)}
      name={nameOf()}
      {...{ draw, csv }}
      most={480}
      stale={result.stale}
    />
  );
}

/** Holds the place of a picture that the exact run will bring. */
function Pending({ id, heading, height }: { readonly id: string; readonly heading: string; readonly height: number }) {
  return (
    <section id={id} class="picture" aria-labelledby={`${id}-h`}>
      <h2 id={`${id}-h`}>{heading}</h2>
      <p class="said quiet">Comes with the exact run.</p>
      <div class="pending" style={{ height: `${height}px` }} />
    </section>
  );
}
