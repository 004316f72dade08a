/** The map of panel and cells: press a place on it and that design is in hand. */
import { useCallback, useMemo } from 'preact/hooks';
import { kitPower_W } from '../../../app/panels.ts';
import type { SizeOutcome } from '../../../app/size.ts';
import { parseSetting } from '../../../formats/setting.ts';
import { applySettings } from '../../../records/override.ts';
import { frontierChart, frontierSentence } from '../../../report/index.ts';
import type { CsvRows } from '../../parts/csv.ts';
import { JobProgress, useJob } from '../../parts/job.tsx';
import { type DrawOptions, Picture } from '../../parts/picture.tsx';
import { Problems } from '../../parts/problems.tsx';
import type { Place } from '../../parts/readout.ts';
import { DataTable } from '../../parts/table.tsx';
import * as design from '../../state/design.ts';
import { figures, format } from '../../state/settings.ts';
import { fixesTilt, powerSettings } from './controls.ts';

/** Changes that the map itself spans. */
const SPANNED = /^(kit\.cells\.count|kit\.panel(\[\d+\])?\.power_W|perch\.tilt_deg)=/;

/** The raw record of a kind with the design's changes, as the server takes it. */
export function rawNow(kind: 'kit' | 'perch'): unknown {
  const reading = kind === 'kit' ? design.kitSaved.value : design.perchSaved.value;
  return applySettings(reading?.raw, design.changes.value.map(parseSetting), kind).raw;
}

export function FrontierSection() {
  const kitRecord = design.kitRecord.value!;
  const perchRecord = design.perchRecord.value!;
  const kit = design.kitNow.value;
  const rest = design.changes.value.filter((c) => !SPANNED.test(c));
  const key = `size ${kitRecord.id}@${kitRecord.revision} ${perchRecord.id}@${perchRecord.revision} ${rest.join(' ')}`;
  const job = useJob<SizeOutcome>(key);
  const start = () => job.start({ command: 'size', kit: { value: rawNow('kit') }, perch: { value: rawNow('perch') } });
  const heading = 'Panel and cells that hold';
  if (job.result === undefined)
    return (
      <section id="frontier" aria-labelledby="frontier-h">
        <h2 id="frontier-h">{heading}</h2>
        <p class="said">
          Some 400 designs of panel and cells with this charger and load, each over a hundred winters and more.
        </p>
        {job.status === null ? (
          <div class="actions">
            <button type="button" onClick={start}>
              Draw the map
            </button>
          </div>
        ) : (
          <JobProgress job={job} />
        )}
        <Problems list={job.problems} />
      </section>
    );
  return (
    <FrontierMapPicture
      outcome={job.result}
      power_W={kit?.ok ? kitPower_W(kit.value) : null}
      cells={kit?.ok ? kit.value.cells.count : null}
    />
  );
}

function FrontierMapPicture(props: {
  readonly outcome: SizeOutcome;
  readonly power_W: number | null;
  readonly cells: number | null;
}) {
  const { outcome, power_W, cells } = props;
  const map = useMemo(
    () => ({ ...outcome.map, kit: power_W === null || cells === null ? null : { panel_W: power_W, cells } }),
    [outcome, power_W, cells],
  );
  const draw = useCallback((o: DrawOptions) => frontierChart(map, { ...o, width: Math.min(o.width, 560) }), [map]);
  const at = ({ x, y }: Place) => ({
    column: Math.min(map.panel_W.length - 1, Math.floor(x * map.panel_W.length)),
    row: y === null ? null : Math.min(map.cells.length - 1, Math.floor((1 - y) * map.cells.length)),
  });
  const readout = (place: Place) => {
    const { column, row } = at(place);
    const watts = format.value.figure(map.panel_W[column]!);
    if (row === null) {
      const least = map.frontier.filter((p) => p.panel_W <= map.panel_W[column]!).sort((a, b) => a.cells - b.cells)[0];
      return least
        ? `${watts} W: holds from ${least.cells} cells on`
        : `${watts} W: does not hold with any number of cells here`;
    }
    return `${watts} W with ${map.cells[row]} cells: ${format.value.percent(map.darkYearShare[row]![column]!)} of winters dark; press to try it`;
  };
  const take = (panel_W: number, count: number) => {
    const kit = design.kitSaved.value;
    if (!kit?.ok) return;
    design.adjust([
      ...powerSettings(kit.value, panel_W),
      `kit.cells.count=${count}`,
      ...(fixesTilt(kit.value) ? [] : [`perch.tilt_deg=${outcome.tilt_deg}`]),
    ]);
  };
  const csv = (): CsvRows => [
    ['cells', 'panel_W', 'dark_year_share'],
    ...map.cells.flatMap((c, r) => map.panel_W.map((w, i) => [c, w, map.darkYearShare[r]?.[i] ?? null])),
  ];
  return (
    <Picture
      id="frontier"
      heading="Panel and cells that hold"
      said={`${frontierSentence(map, figures.value)} Tilt ${outcome.tilt_deg}°.`}
      name={`${outcome.kit} at ${outcome.perch}`}
      {...{ draw, csv, readout }}
      steps={map.panel_W.length}
      most={560}
      onPick={(place) => {
        const { column, row } = at(place);
        if (row !== null) take(map.panel_W[column]!, map.cells[row]!);
      }}
    >
      <DataTable
        tight
        caption={`Smallest designs for ${outcome.target.text}, proved with the full model over ${outcome.years} years`}
        columns={[
          { key: 'cells', head: 'cells', figures: true },
          { key: 'panel', head: 'panel, W', figures: true },
          { key: 'upper', head: 'dark years, upper bound, %', figures: true },
          { key: 'try', head: <span class="unseen">try it</span> },
        ]}
        file={`${outcome.kit} at ${outcome.perch} smallest designs`}
        csv={() => [
          ['cells', 'panel_W', 'dark_year_share_upper'],
          ...map.frontier.map((p) => [p.cells, p.panel_W, p.upper]),
        ]}
        rows={map.frontier.map((p) => ({
          key: `${p.cells} ${p.panel_W}`,
          cells: [
            p.cells,
            format.value.figure(p.panel_W),
            format.value.percent(p.upper, 1).replace(' %', ''),
            <button
              key="try"
              type="button"
              class="plain"
              aria-label={`try it: ${p.panel_W} W with ${p.cells} cells`}
              onClick={() => take(p.panel_W, p.cells)}
            >
              try it
            </button>,
          ],
        }))}
      />
    </Picture>
  );
}
