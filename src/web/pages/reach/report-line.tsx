/** The coverage to take along: one HTML file that needs nothing else, a PDF, or this page printed. */
import { useRef, useState } from 'preact/hooks';
import type { Problem } from '../../../core/units/index.ts';
import type { JobRequest } from '../../../server/api.ts';
import { Stopped } from '../../api/client.ts';
import { type PaperName, reachReport, usualPaper } from '../../api/report.ts';
import { fileName } from '../../parts/csv.ts';
import { saveFile } from '../../parts/download.ts';
import { Problems } from '../../parts/problems.tsx';
import { isFull } from '../../state/coverage.ts';
import * as design from '../../state/design.ts';
import { reachSettings } from '../../state/reach.ts';
import { reachRequest } from '../../state/reach-request.ts';
import { region } from '../../state/region.ts';
import { callProblems } from '../../state/workshop.ts';
import { otherPerches } from './other-perches.ts';

/** Perches of which the role among others is told. */
const MOST_OTHERS = 50;

/** What is on the page, with the role among the perches of the circle and the rules of the region chosen. */
function reportRequest(): JobRequest {
  const { radius_km } = reachSettings.value;
  const others = otherPerches.value.filter((o) => o.away_km < radius_km).slice(0, MOST_OTHERS);
  return {
    ...reachRequest('full'),
    ...(others.length === 0 ? {} : { candidates: others.map((o) => o.record.id) }),
    ...(region.value === '' ? {} : { region: region.value }),
  };
}

export function ReachReportLine() {
  const [paper, setPaper] = useState<PaperName>(() => usualPaper(navigator.language));
  const [doing, setDoing] = useState('');
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const running = useRef<{ stop(): void } | null>(null);
  const ready = isFull.value && doing === '';
  const make = async (on: PaperName | null) => {
    setProblems([]);
    setDoing('The report is being made');
    const [kit, perch] = [design.kitRecord.value?.name, design.perchRecord.value?.name];
    const job = reachReport(reportRequest(), on, ({ what, done, total }) => {
      if (total > 0) setDoing(`The report is being made: ${what}`.concat(total > 1 ? `, ${done} of ${total}` : ''));
    });
    running.current = job;
    try {
      saveFile(fileName(`reach of ${kit} at ${perch}`, on === null ? 'html' : 'pdf'), await job.result);
    } catch (error) {
      if (!(error instanceof Stopped)) setProblems(callProblems(error));
    } finally {
      running.current = null;
      setDoing('');
    }
  };
  return (
    <section class="take-along" aria-labelledby="along-h">
      <h2 id="along-h">To take along</h2>
      <p class="said">
        Map, ways to the places, panorama, the role among the perches of the circle
        {region.value === '' ? '; with the radio rules once a region is chosen' : ' and the radio rules'}.
      </p>
      <div class="actions">
        <button type="button" disabled={!ready} onClick={() => void make(null)}>
          Save the report
        </button>
        <button type="button" disabled={!ready} onClick={() => void make(paper)}>
          Save as PDF
        </button>
        <select
          class="inline"
          aria-label="paper of the PDF"
          value={paper}
          onChange={(event) => setPaper(event.currentTarget.value as PaperName)}
        >
          <option value="A4">A4</option>
          <option value="letter">Letter</option>
        </select>
        <button type="button" disabled={!isFull.value} onClick={() => window.print()}>
          Print this page
        </button>
      </div>
      {doing === '' ? null : (
        <p class="progress" role="status">
          {doing}{' '}
          <button type="button" class="plain" onClick={() => running.current?.stop()}>
            stop
          </button>
        </p>
      )}
      <Problems list={problems} />
      <p class="quiet">Sunperch. All figures are estimates; local law, codes and licensed practice decide.</p>
    </section>
  );
}
