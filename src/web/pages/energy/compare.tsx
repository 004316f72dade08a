/** Up to four designs side by side, with what differs. */
import type { ComponentChildren } from 'preact';
import { useCallback } from 'preact/hooks';
import { fanChart, fanSentence, monthName } from '../../../report/index.ts';
import { unitOf } from '../../display/units.ts';
import type { CsvCell, CsvRows } from '../../parts/csv.ts';
import { type DrawOptions, Picture } from '../../parts/picture.tsx';
import type { Place } from '../../parts/readout.ts';
import { StateWord } from '../../parts/state-sign.tsx';
import { Strip } from '../../parts/strip.tsx';
import { DataTable, type Row } from '../../parts/table.tsx';
import { energyOf, go } from '../../routes.ts';
import * as design from '../../state/design.ts';
import { figures, format, settings } from '../../state/settings.ts';
import { dropVariant, MOST_VARIANTS, type Variant, variants } from '../../state/variants.ts';
import { fanCsv, fanValues } from './fan-values.ts';

export function Compare() {
  const list = variants.value;
  return (
    <section id="compare" aria-labelledby="compare-h">
      <h2 id="compare-h">Side by side</h2>
      {list.length === 0 ? (
        <p class="said">
          Nothing is kept yet: “Keep to compare” puts the design in hand here, up to {MOST_VARIANTS} of them.
        </p>
      ) : (
        <Columns list={list} />
      )}
    </section>
  );
}

function Columns({ list }: { readonly list: readonly Variant[] }) {
  const row = (head: string, cell: (v: Variant) => ComponentChildren): Row => ({
    key: head,
    cells: [head, ...list.map(cell)],
  });
  const percent = (v: number) => format.value.percent(v, 1);
  const best = [...list].sort(
    (a, b) =>
      a.outcome.darkYearShare.mean - b.outcome.darkYearShare.mean || b.outcome.autonomy_d - a.outcome.autonomy_d,
  )[0]!;
  return (
    <>
      {list.length > 1 ? (
        <p class="said">
          Fewest dark winters: {best.letter}, {percent(best.outcome.darkYearShare.mean)}.
        </p>
      ) : null}
      <DataTable
        caption="Designs kept"
        file="designs side by side"
        csv={() => compareCsv(list)}
        columns={[
          { key: 'what', head: 'what' },
          ...list.map((v) => ({ key: v.letter, head: `${v.letter}: ${v.outcome.kit} at ${v.outcome.perch}` })),
        ]}
        rows={[
          row('changed', (v) => (v.changes.length === 0 ? 'as saved' : v.changes.map(told).join('; '))),
          row('state', (v) => <StateWord state={v.outcome.state} />),
          row('year strip', (v) => (
            <Strip
              id={`variant-${v.letter}`}
              strip={v.outcome.strip}
              name={`Variant ${v.letter}`}
              width={120}
              height={20}
            />
          )),
          row('dark years', (v) => percent(v.outcome.darkYearShare.mean)),
          row(
            '95 % interval',
            (v) => `${percent(v.outcome.darkYearShare.low)} to ${percent(v.outcome.darkYearShare.high)}`,
          ),
          row('dark hours a year', (v) => format.value.figure(v.outcome.dark_h_per_year.mean)),
          row('days without sun', (v) => format.value.fixed(v.outcome.autonomy_d, 1)),
          row('worst month', (v) => monthName(v.outcome.worstMonth)),
          row('years to 80 %', (v) => {
            const life = v.outcome.ageing.yearsTo80;
            return life === null ? '–' : `${format.value.fixed(life.low, 1)} to ${format.value.fixed(life.high, 1)}`;
          }),
          row('in hand', (v) => (
            <>
              <button type="button" class="plain" aria-label={`take it: ${v.letter}`} onClick={() => take(v)}>
                take it
              </button>{' '}
              <button
                type="button"
                class="plain"
                aria-label={`drop it: ${v.letter}`}
                onClick={() => dropVariant(v.letter)}
              >
                drop it
              </button>
            </>
          )),
        ]}
      />
      <div class="two">
        {list.map((v) => (
          <VariantFan key={v.letter} v={v} />
        ))}
      </div>
    </>
  );
}

function VariantFan({ v }: { readonly v: Variant }) {
  const draw = useCallback((o: DrawOptions) => fanChart(v.fan, { ...o, height: 340 }), [v]);
  const readout = ({ x }: Place) => fanValues(v.fan, x);
  return (
    <Picture
      id={`variant-${v.letter}-fan`}
      level={3}
      heading={`${v.letter}: state of charge`}
      said={fanSentence(v.fan, figures.value)}
      name={`variant ${v.letter} ${v.outcome.kit} at ${v.outcome.perch}`}
      {...{ draw, readout }}
      csv={() => fanCsv(v.fan)}
      steps={73}
      most={480}
    />
  );
}

/** A column each, as on the page, with plain values. */
function compareCsv(list: readonly Variant[]): CsvRows {
  const row = (head: string, cell: (v: Variant) => CsvCell): readonly CsvCell[] => [head, ...list.map(cell)];
  return [
    row('variant', (v) => v.letter),
    row('kit', (v) => v.outcome.kit),
    row('perch', (v) => v.outcome.perch),
    row('changes', (v) => v.changes.join(' ')),
    row('state', (v) => v.outcome.state),
    row('dark_year_share', (v) => v.outcome.darkYearShare.mean),
    row('dark_year_share_low', (v) => v.outcome.darkYearShare.low),
    row('dark_year_share_high', (v) => v.outcome.darkYearShare.high),
    row('dark_h_per_year', (v) => v.outcome.dark_h_per_year.mean),
    row('autonomy_d', (v) => v.outcome.autonomy_d),
    row('worst_month', (v) => v.outcome.worstMonth),
    row('years_to_80_pct_low', (v) => v.outcome.ageing.yearsTo80?.low ?? null),
    row('years_to_80_pct_high', (v) => v.outcome.ageing.yearsTo80?.high ?? null),
  ];
}

const LABELS: Readonly<Record<string, string>> = {
  'kit.cells.count': 'cells',
  'kit.panel.power_W': 'panel',
  'perch.tilt_deg': 'tilt',
  'kit.charger.ceiling_V': 'ceiling',
  'kit.charger.ceiling_soc': 'ceiling',
  'kit.load.average_mA': 'load',
};

/** `kit.panel.power_W=4` as `panel 4 W`. */
function told(setting: string): string {
  const [field = '', value = ''] = setting.split('=');
  const unit = unitOf(field, settings.value);
  const number = Number(value);
  const shown = Number.isFinite(number) ? format.value.figure(unit.toShown(number), 4) : value;
  return `${LABELS[field] ?? field} ${shown}${unit.symbol === '' || unit.symbol === '°' ? '' : ' '}${unit.symbol}`;
}

function take(v: Variant): void {
  if (v.kit === design.kitRecord.value?.id && v.perch === design.perchRecord.value?.id) design.putChanges(v.changes);
  else {
    design.takeLater(v.kit, v.perch, v.changes);
    go(energyOf(v.kit, v.perch));
  }
}
