/** The pictures of a winter; those that a first look has follow at once, the others when the exact run is done. */
import { useCallback, useMemo } from 'preact/hooks';
import { fanChart, fanSentence, harvestChart, harvestSentence, monthName, yearStrip } from '../../../report/index.ts';
import type { CsvRows } from '../../parts/csv.ts';
import { type DrawOptions, Picture } from '../../parts/picture.tsx';
import type { Place } from '../../parts/readout.ts';
import { monthOfStrip } from '../../parts/strip.tsx';
import * as design from '../../state/design.ts';
import { figures, format } from '../../state/settings.ts';
import { AgeingPicture, CarpetPicture, SpellsPicture, SunPathPicture } from './exact-pictures.tsx';
import { fanCsv, fanValues } from './fan-values.ts';
import { nameOf } from './name-of.ts';

/** The year in one band, under the sentence that answers. */
export function StripPicture() {
  const shown = design.shown.value;
  const strip = shown?.strip;
  const name = nameOf();
  const draw = useCallback(
    (o: DrawOptions) => (strip ? yearStrip(strip, { ...o, height: 112, name }) : ''),
    [strip, name],
  );
  if (strip === undefined) return <div class="big-strip" />;
  const csv = (): CsvRows => [
    ['month', 'dark_share', 'soc_p10'],
    ...strip.darkShare.map((share, m) => [m + 1, share, strip.lowStateOfCharge[m]!]),
  ];
  return (
    <div class="big-strip">
      <Picture
        id="strip"
        heading="The year in one band"
        unseenHeading
        {...{ name, draw, csv }}
        readout={({ x }: Place) => monthOfStrip(strip, x)}
        steps={12}
      />
    </div>
  );
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

function FanPicture() {
  const shown = design.shown.value!;
  const { fan, startDay, marks } = shown;
  const data = useMemo(() => ({ fan, startDay, marks }), [fan, startDay, marks]);
  const draw = useCallback((o: DrawOptions) => fanChart(data, o), [data]);
  const readout = ({ x }: Place) => fanValues(data, x);
  const csv = () => fanCsv(data);
  return (
    <Picture
      id="fan"
      heading="State of charge over the year"
      said={fanSentence(data, figures.value)}
      name={nameOf()}
      {...{ draw, csv, readout }}
      steps={73}
    />
  );
}

function HarvestPicture() {
  const { months } = design.shown.value!;
  const draw = useCallback((o: DrawOptions) => harvestChart(months, { ...o, width: Math.min(o.width, 480) }), [months]);
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
      said={harvestSentence(months, figures.value)}
      name={nameOf()}
      {...{ draw, csv, readout }}
      steps={12}
      most={480}
    />
  );
}
