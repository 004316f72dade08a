/** The pictures that the exact run brings: ageing, the worst year hour by hour, sun paths, dark spells. */
import { useCallback, useMemo } from 'preact/hooks';
import {
  ageingChart,
  ageingSentence,
  carpetPlot,
  carpetSentence,
  spellsChart,
  spellsSentence,
  sunPathChart,
  sunPathReader,
  sunPathSentence,
} from '../../../report/index.ts';
import type { CsvRows } from '../../parts/csv.ts';
import { type DrawOptions, Picture } from '../../parts/picture.tsx';
import type { Place, PlotBox } from '../../parts/readout.ts';
import * as design from '../../state/design.ts';
import { figures, format } from '../../state/settings.ts';
import { nameOf } from './name-of.ts';

/** The exact result, and whether it is of another design than the one in hand. */
function useExact() {
  const result = design.exact.value;
  return result === null ? null : { ...result, stale: !design.isExact.value };
}

export function AgeingPicture() {
  const result = useExact();
  const ageing = result?.outcome.ageing;
  const draw = useCallback(
    (o: DrawOptions) => (ageing ? ageingChart(ageing, { ...o, width: Math.min(o.width, 480) }) : ''),
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
    return `after ${format.value.figure(ageing.years[i]!)} ${ageing.years[i] === 1 ? 'year' : 'years'}: ${format.value.percent(ageing.capacityShare[i]!)}; second opinion ${format.value.percent(ageing.capacityShareSecond[i]!)}`;
  };
  const csv = (): CsvRows => [
    ['age_years', 'capacity_share', 'capacity_share_second_opinion'],
    ...ageing.years.map((y, i) => [y, ageing.capacityShare[i] ?? null, ageing.capacityShareSecond[i] ?? null]),
  ];
  return (
    <Picture
      id="ageing"
      heading="Ageing of the cells"
      said={ageingSentence(ageing, figures.value)}
      name={nameOf()}
      {...{ draw, csv }}
      {...(ageing.modelled ? { readout } : {})}
      steps={ageing.years.length || 1}
      most={480}
      stale={result.stale}
    />
  );
}

export function CarpetPicture() {
  const result = useExact();
  const pictures = result?.pictures;
  const draw = useCallback(
    (o: DrawOptions) =>
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
      return `${figures.value.day(startDay + day)}, ${hour} to ${hour + 1} h: ${soc < 0 ? 'dark' : format.value.percent(soc)}`;
    }
    const hours = carpet.subarray(day * 24, day * 24 + 24);
    const dark = hours.filter((v) => v < 0).length;
    const least = Math.min(...hours.filter((v) => v >= 0));
    return `${figures.value.day(startDay + day)}: ${dark === 0 ? 'no dark hour' : `${dark} dark hours`}${Number.isFinite(least) ? `, lowest ${format.value.percent(least)}` : ''}`;
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
      said={carpetSentence(carpet, startDay, figures.value)}
      name={nameOf()}
      {...{ draw, csv, readout }}
      steps={73}
      stale={result.stale}
    />
  );
}

export function SunPathPicture() {
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
  const draw = useCallback((o: DrawOptions) => (input ? sunPathChart(input, o) : ''), [input]);
  const written = figures.value;
  const read = useMemo(() => (input ? sunPathReader(input, written) : null), [input, written]);
  if (result === null || input === null) return <Pending id="sunpath" heading="Sun paths and skyline" height={344} />;
  const horizon = input.horizon_deg;
  const readout = ({ x }: Place) => read?.(x) ?? '';
  const csv = (): CsvRows => [
    ['azimuth_deg', 'skyline_deg'],
    ...Array.from({ length: 360 }, (_, a) => [a, horizon?.[a] ?? 0]),
  ];
  return (
    <Picture
      id="sunpath"
      heading="Sun paths and skyline"
      said={sunPathSentence(input, figures.value)}
      name={nameOf()}
      {...{ draw, csv, readout }}
      steps={72}
      stale={result.stale}
    />
  );
}

export function SpellsPicture() {
  const result = useExact();
  const spells = result?.pictures.spells;
  const draw = useCallback(
    (o: DrawOptions) => (spells ? spellsChart(spells, { ...o, width: Math.min(o.width, 480) }) : ''),
    [spells],
  );
  if (result === null || spells === undefined || spells.length === 0) return null;
  const periods = [...new Set(spells.map((s) => s.period_years))].filter((p) => p > 0).sort((a, b) => a - b);
  const stops = (box: PlotBox) => spellStops(periods, box.width);
  const readout = ({ stop = 0 }: Place) => {
    const at = spells.filter((s) => s.period_years === periods[stop]).sort((a, b) => a.days - b.days);
    const told = at.map((s) => `${s.days} days bring ${format.value.percent(s.share)}`).join(', ');
    return `once in ${format.value.figure(periods[stop] ?? Number.NaN)} years ${told} of the mean`;
  };
  const csv = (): CsvRows => [
    ['spell_days', 'return_period_years', 'share_of_mean'],
    ...spells.map((s) => [s.days, s.period_years, s.share]),
  ];
  return (
    <Picture
      id="spells"
      heading="Dark spells"
      said={spellsSentence(spells, figures.value)}
      name={nameOf()}
      {...{ draw, csv, readout, stops }}
      most={480}
      stale={result.stale}
    />
  );
}

/** The return periods across the picture: a logarithmic axis with 8 units free on either side, as it is drawn. */
function spellStops(periods: readonly number[], width: number): Place[] {
  const [first = 1, last = first] = [periods[0], periods.at(-1)];
  const span = Math.log(Math.max(last, first * 1.01) / first);
  return periods.map((p) => ({ x: (8 + (Math.log(p / first) / span) * (width - 16)) / width, y: null }));
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
