/** The figures behind the pictures: numbers with their intervals, causes, changes, older cells, other ceilings. */
import type { ComponentChildren } from 'preact';
import type { YearOutcome } from '../../../core/energy/index.ts';
import type { Interval } from '../../../core/math/index.ts';
import { monthName } from '../../../report/index.ts';
import { unitOf } from '../../display/units.ts';
import type { CsvCell, CsvRows } from '../../parts/csv.ts';
import { DataTable, type Row } from '../../parts/table.tsx';
import * as design from '../../state/design.ts';
import { format, settings } from '../../state/settings.ts';

/** Name of a table's file. */
const fileOf = (o: YearOutcome, table: string) => `${o.kit} at ${o.perch} ${table}`;
const bare = (text: string) => text.replace(' %', '');
const share = (v: number) => format.value.percent(v, 1);
const shareInterval = (i: Interval) => `${bare(share(i.low))} to ${share(i.high)}`;
/** Hours, or days when there are many. */
const hours = (h: number) =>
  h < 72
    ? `${format.value.fixed(h, h < 10 && !Number.isInteger(h) ? 1 : 0)} h`
    : `${format.value.fixed(h / 24, h < 240 ? 1 : 0)} days`;
const figure = (v: number) => format.value.figure(v);

export function Tables() {
  const result = design.exact.value;
  if (result === null) return null;
  const { outcome } = result;
  return (
    <div class={design.isExact.value ? undefined : 'stale'}>
      <Part id="numbers" heading="In numbers">
        <Numbers o={outcome} />
      </Part>
      <Part id="causes" heading="What limits it">
        <Causes o={outcome} />
      </Part>
      <Part id="changes" heading="Changes tried">
        <Changes o={outcome} />
      </Part>
      <Part id="months" heading="Month by month">
        <Months o={outcome} />
      </Part>
      <Part id="ages" heading="With older cells, and with another ceiling">
        <Ages o={outcome} />
      </Part>
    </div>
  );
}

function Part(props: { readonly id: string; readonly heading: string; readonly children: ComponentChildren }) {
  return (
    <section id={props.id} aria-labelledby={`${props.id}-h`}>
      <h2 id={`${props.id}-h`}>{props.heading}</h2>
      {props.children}
    </section>
  );
}

function Numbers({ o }: { readonly o: YearOutcome }) {
  const row = (head: string, value: string, interval = ''): Row => ({ key: head, cells: [head, value, interval] });
  const rows = [
    row('Years with a dark hour', share(o.darkYearShare.mean), shareInterval(o.darkYearShare)),
    row(
      'Dark hours, a year',
      figure(o.dark_h_per_year.mean),
      `${figure(o.dark_h_per_year.low)} to ${figure(o.dark_h_per_year.high)}`,
    ),
    row('Switched off, times a year', figure(o.darkSpells_per_year)),
    row('Longest dark spell', hours(o.longestDark_h)),
    row('Worst month', monthName(o.worstMonth)),
    row('Carried with no sun in the cold month, days', format.value.fixed(o.autonomy_d, 1)),
    row('Back after a cut-off, days', o.recovery_d === null ? 'no cut-off' : format.value.fixed(o.recovery_d, 1)),
    row('Lowest state of charge', share(o.minStateOfCharge)),
    row('Energy not served, Wh a year', figure(o.unserved_Wh_per_year)),
    row('Too cold to charge, hours a year', format.value.fixed(o.coldBlocked_h_per_year, 0)),
    row('At the ceiling, hours a year', format.value.fixed(o.ceiling_h_per_year, 0)),
    ...(o.plating_h_per_year > 0
      ? [row('Charged in the frost, hours a year', format.value.fixed(o.plating_h_per_year, 0))]
      : []),
    ...(o.lockUps_per_year > 0 ? [row('Lock-ups that may need hands, a year', figure(o.lockUps_per_year))] : []),
    ...(o.falseRestarts_per_year > 0 ? [row('False restarts, a year', figure(o.falseRestarts_per_year))] : []),
  ];
  return (
    <DataTable
      caption={`Over ${figure(o.years)} years`}
      columns={[
        { key: 'what', head: 'what' },
        { key: 'value', head: 'value', figures: true },
        { key: 'interval', head: '95 % interval', figures: true },
      ]}
      rows={rows}
      csv={() => numbersCsv(o)}
      file={fileOf(o, 'numbers')}
    />
  );
}

/** The figures of an outcome under the names that the command line's JSON gives them. */
function numbersCsv(o: YearOutcome): CsvRows {
  const rows: [string, number | null, number | null, number | null][] = [
    ['dark_year_share', o.darkYearShare.mean, o.darkYearShare.low, o.darkYearShare.high],
    ['dark_h_per_year', o.dark_h_per_year.mean, o.dark_h_per_year.low, o.dark_h_per_year.high],
    ['dark_spells_per_year', o.darkSpells_per_year, null, null],
    ['longest_dark_h', o.longestDark_h, null, null],
    ['worst_month', o.worstMonth, null, null],
    ['autonomy_d', o.autonomy_d, null, null],
    ['recovery_d', o.recovery_d, null, null],
    ['lowest_soc', o.minStateOfCharge, null, null],
    ['unserved_Wh_per_year', o.unserved_Wh_per_year, null, null],
    ['cold_blocked_h_per_year', o.coldBlocked_h_per_year, null, null],
    ['ceiling_h_per_year', o.ceiling_h_per_year, null, null],
    ['plating_h_per_year', o.plating_h_per_year, null, null],
    ['lock_ups_per_year', o.lockUps_per_year, null, null],
    ['false_restarts_per_year', o.falseRestarts_per_year, null, null],
  ];
  return [['what', 'value', 'low_95', 'high_95'], ...rows];
}

function Causes({ o }: { readonly o: YearOutcome }) {
  const first = o.causes[0];
  if (first === undefined || !(o.dark_h_per_year.mean > 0))
    return <p class="said">There are no dark hours to explain.</p>;
  return (
    <>
      <p class="said">
        Each cause with the dark hours that are left when it alone is taken away. First: the {first.cause}.
      </p>
      <DataTable
        caption="Causes, the strongest first"
        columns={[
          { key: 'cause', head: 'cause' },
          { key: 'removed', head: 'taken away: with' },
          { key: 'left', head: 'dark hours left, a year', figures: true },
          { key: 'explains', head: 'explains, %', figures: true },
        ]}
        file={fileOf(o, 'causes')}
        csv={() => [
          ['cause', 'taken_away', 'dark_left_h_per_year', 'explains_share'],
          ...o.causes.map((c) => [c.cause, c.removed, c.darkLeft_h_per_year, c.explains]),
        ]}
        rows={o.causes.map((c) => ({
          key: c.cause,
          cells: [c.cause, c.removed, figure(c.darkLeft_h_per_year), bare(format.value.percent(c.explains))],
        }))}
      />
    </>
  );
}

function Changes({ o }: { readonly o: YearOutcome }) {
  if (o.changes.length === 0)
    return <p class="said">{o.state === 'stays up' ? 'None is needed.' : 'None was tried.'}</p>;
  return (
    <DataTable
      caption="Single changes, in rising order of effort"
      columns={[
        { key: 'change', head: 'change' },
        { key: 'then', head: 'then it' },
        { key: 'dark', head: 'dark years, %', figures: true },
        { key: 'interval', head: '95 % interval', figures: true },
        { key: 'try', head: <span class="unseen">try it</span> },
      ]}
      file={fileOf(o, 'changes')}
      csv={() => [
        ['change', 'holds', 'dark_year_share', 'dark_year_share_low', 'dark_year_share_high', 'settings'],
        ...o.changes.map((c) => [
          c.change,
          c.holds ? 1 : 0,
          c.darkYearShare.mean,
          c.darkYearShare.low,
          c.darkYearShare.high,
          c.set.join(' '),
        ]),
      ]}
      rows={o.changes.map((c) => ({
        key: c.change,
        emphasis: c.holds,
        cells: [
          c.change,
          c.holds ? 'holds' : 'misses',
          bare(share(c.darkYearShare.mean)),
          shareInterval(c.darkYearShare),
          <button
            key="try"
            type="button"
            class="plain"
            aria-label={`try it: ${c.change}`}
            onClick={() => design.adjust(c.set)}
          >
            try it
          </button>,
        ],
      }))}
    />
  );
}

const MONTH_COLUMNS: readonly CsvCell[] = [
  'month',
  'poa_kWh_m2_day',
  'harvest_Wh_day',
  'need_Wh_day',
  'soc_p10',
  'dark_h',
  'dark_share',
  'temperature_degC',
];

function Months({ o }: { readonly o: YearOutcome }) {
  const degrees = unitOf('temperature_degC', settings.value);
  return (
    <DataTable
      tight
      caption="Means over all years"
      columns={[
        { key: 'month', head: 'month' },
        { key: 'poa', head: 'light on the panel, kWh/m² a day', figures: true },
        { key: 'harvest', head: 'harvest, Wh a day', figures: true },
        { key: 'need', head: 'need, Wh a day', figures: true },
        { key: 'low', head: 'charge, 1 day in 10 below, %', figures: true },
        { key: 'dark', head: 'dark hours', figures: true },
        { key: 'chance', head: 'dark months, %', figures: true },
        { key: 'air', head: `air, ${degrees.symbol}`, figures: true },
      ]}
      file={fileOf(o, 'months')}
      csv={() => [
        MONTH_COLUMNS,
        ...o.months.map((m) => [
          m.month,
          m.poa_kWh_m2_day,
          m.harvest_Wh_day,
          m.need_Wh_day,
          m.lowStateOfCharge,
          m.dark_h,
          m.darkShare,
          m.temperature_degC,
        ]),
      ]}
      rows={o.months.map((m) => ({
        key: String(m.month),
        emphasis: m.month === o.worstMonth,
        cells: [
          monthName(m.month),
          format.value.fixed(m.poa_kWh_m2_day, 2),
          format.value.fixed(m.harvest_Wh_day, 2),
          format.value.fixed(m.need_Wh_day, 2),
          bare(format.value.percent(m.lowStateOfCharge)),
          figure(m.dark_h),
          bare(format.value.percent(m.darkShare)),
          format.value.fixed(degrees.toShown(m.temperature_degC), 1),
        ],
      }))}
    />
  );
}

function Ages({ o }: { readonly o: YearOutcome }) {
  return (
    <>
      <DataTable
        caption="The same kit with its cells as put up, and aged"
        columns={[
          { key: 'age', head: 'age, years', figures: true },
          { key: 'capacity', head: 'capacity, %', figures: true },
          { key: 'hours', head: 'dark hours, a year', figures: true },
          { key: 'years', head: 'dark years, %', figures: true },
          { key: 'interval', head: '95 % interval', figures: true },
        ]}
        file={fileOf(o, 'ages')}
        csv={() => [
          ['age_years', 'capacity_share', 'dark_h_per_year', 'dark_year_share', 'dark_year_low', 'dark_year_high'],
          ...o.ages.map((a) => [
            a.age_years,
            a.capacityShare,
            a.dark_h_per_year.mean,
            a.darkYearShare.mean,
            a.darkYearShare.low,
            a.darkYearShare.high,
          ]),
        ]}
        rows={o.ages.map((a) => ({
          key: String(a.age_years),
          cells: [
            figure(a.age_years),
            bare(format.value.percent(a.capacityShare)),
            figure(a.dark_h_per_year.mean),
            bare(share(a.darkYearShare.mean)),
            shareInterval(a.darkYearShare),
          ],
        }))}
      />
      {o.ageing.ceilings.length === 0 ? null : (
        <DataTable
          caption="The same kit with another charge ceiling"
          columns={[
            { key: 'ceiling', head: 'ceiling, %', figures: true },
            { key: 'life', head: 'years to 80 %', figures: true },
            { key: 'dark', head: 'dark years, %', figures: true },
            { key: 'autonomy', head: 'days without sun', figures: true },
          ]}
          file={fileOf(o, 'ceilings')}
          csv={() => [
            ['ceiling_soc', 'years_to_80_pct', 'dark_year_share', 'autonomy_d'],
            ...o.ageing.ceilings.map((c) => [c.ceiling_soc, c.yearsTo80, c.darkYearShare, c.autonomy_d]),
          ]}
          rows={o.ageing.ceilings.map((c) => ({
            key: String(c.ceiling_soc),
            cells: [
              bare(format.value.percent(c.ceiling_soc)),
              format.value.fixed(c.yearsTo80, 1),
              bare(share(c.darkYearShare)),
              format.value.fixed(c.autonomy_d, 1),
            ],
          }))}
        />
      )}
    </>
  );
}
