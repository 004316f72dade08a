/** Where else would this kit hold: every built-in climate, on a map and in a table. */
import { useCallback, useMemo } from 'preact/hooks';
import type { WhereOutcome } from '../../../app/where.ts';
import { formatPosition, monthName, whereMap, wherePosition } from '../../../report/index.ts';
import type { CsvRows } from '../../parts/csv.ts';
import { JobProgress, useJob } from '../../parts/job.tsx';
import { type DrawOptions, Picture } from '../../parts/picture.tsx';
import { Problems } from '../../parts/problems.tsx';
import type { Place } from '../../parts/readout.ts';
import { Strip } from '../../parts/strip.tsx';
import { DataTable } from '../../parts/table.tsx';
import * as design from '../../state/design.ts';
import { figures, format } from '../../state/settings.ts';
import { rawNow } from './frontier.tsx';

export function WhereSection() {
  const kit = design.kitRecord.value!;
  const changes = design.changes.value.filter((c) => c.startsWith('kit.'));
  const job = useJob<WhereOutcome>(`where ${kit.id}@${kit.revision} ${changes.join(' ')}`);
  const heading = 'Where else it would hold';
  if (job.result === undefined)
    return (
      <section id="where" aria-labelledby="where-h">
        <h2 id="where-h">{heading}</h2>
        <p class="said">This kit on open ground in every built-in climate of the world; takes a minute or so.</p>
        {job.status === null ? (
          <div class="actions">
            <button type="button" onClick={() => job.start({ command: 'where', kit: { value: rawNow('kit') } })}>
              Look everywhere
            </button>
          </div>
        ) : (
          <JobProgress job={job} />
        )}
        <Problems list={job.problems} />
      </section>
    );
  return <WherePicture outcome={job.result} />;
}

function WherePicture({ outcome }: { readonly outcome: WhereOutcome }) {
  const draw = useCallback((o: DrawOptions) => whereMap(outcome.rows, o), [outcome]);
  // From west to east, as the arrow keys go.
  const order = useMemo(() => [...outcome.rows].sort((a, b) => a.longitude_deg - b.longitude_deg), [outcome]);
  const stops = useCallback(() => order.map(wherePosition), [order]);
  const readout = ({ stop = 0 }: Place) => {
    const r = order[stop];
    if (r === undefined) return '';
    const needs = r.needs === '' ? '' : ` (${r.needs})`;
    return `${r.name}, ${r.country}, ${formatPosition(r, 1, figures.value)}: ${r.verdict}${needs}; dark years ${format.value.percent(r.darkYearShare.mean, 1)}, worst month ${monthName(r.worstMonth)}`;
  };
  const csv = (): CsvRows => [
    ['name', 'country', 'latitude_deg', 'longitude_deg', 'elevation_m', 'verdict', 'dark_year_share', 'needs'],
    ...outcome.rows.map((r) => [
      r.name,
      r.country,
      r.latitude_deg,
      r.longitude_deg,
      r.elevation_m,
      r.verdict,
      r.darkYearShare.mean,
      r.needs,
    ]),
  ];
  return (
    <Picture
      id="where"
      heading="Where else it would hold"
      said={outcome.verdict}
      name={outcome.kit}
      {...{ draw, csv, readout, stops }}
    >
      <DataTable
        tight
        caption={`Target: ${outcome.target.text}; ${outcome.years} years at each place, the hardest first`}
        columns={[
          { key: 'name', head: 'climate' },
          { key: 'verdict', head: 'verdict' },
          { key: 'needs', head: 'needs' },
          { key: 'strip', head: 'year strip' },
          { key: 'dark', head: 'dark years, %', figures: true },
          { key: 'month', head: 'worst month' },
        ]}
        file={`${outcome.kit} where it holds`}
        csv={csv}
        rows={outcome.rows.map((r, i) => ({
          key: r.name,
          cells: [
            `${r.name}, ${r.country}`,
            r.verdict,
            r.needs === '' ? '–' : r.needs,
            <Strip key="s" id={`where-${i}`} strip={r.strip} name={r.name} width={120} height={16} />,
            format.value.percent(r.darkYearShare.mean, 1).replace(' %', ''),
            monthName(r.worstMonth),
          ],
        }))}
      />
    </Picture>
  );
}
