import { useState } from 'preact/hooks';
import type { Problem } from '../../../core/units/index.ts';
import { type Fonts, reportPage } from '../../../report/index.ts';
import { type PaperName, usualPaper, yearPdf } from '../../api/report.ts';
import { fileName } from '../../parts/csv.ts';
import { embeddedFonts, saveFile, saveText } from '../../parts/download.ts';
import { Problems } from '../../parts/problems.tsx';
import * as design from '../../state/design.ts';
import { callProblems } from '../../state/workshop.ts';
import { rawNow } from './frontier.tsx';

/** The same result to take along: printed, as one HTML file that needs nothing else, or as PDF. */
export function ReportLine() {
  const result = design.exact.value;
  const ready = result !== null && design.isExact.value;
  const [paper, setPaper] = useState<PaperName>(() => usualPaper(navigator.language));
  const [doing, setDoing] = useState('');
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const name = (ending: string) => fileName(`${result?.outcome.kit} at ${result?.outcome.perch}`, ending);
  const page = async () => {
    if (result === null) return;
    const { outcome, pictures } = result;
    const fonts: Fonts | undefined = await embeddedFonts();
    const html = reportPage({
      outcome,
      pictures,
      generatedFrom: [outcome.kit, outcome.perch, ...design.changes.value],
      ...(fonts ? { fonts } : {}),
    });
    saveText(name('html'), html, 'text/html');
  };
  const pdf = async () => {
    setProblems([]);
    setDoing('The PDF is being made');
    try {
      const request = {
        command: 'year',
        kit: { value: rawNow('kit') },
        perch: { value: rawNow('perch') },
        years: design.EXACT_YEARS,
        seed: design.SEED,
        target: design.target.value,
      } as const;
      const file = name('pdf');
      const blob = await yearPdf(request, paper, ({ what, done, total }) => {
        if (total > 0) setDoing(`The PDF is being made: ${what}, ${done} of ${total}`);
      });
      saveFile(file, blob);
    } catch (error) {
      setProblems(callProblems(error));
    } finally {
      setDoing('');
    }
  };
  return (
    <section class="take-along" aria-labelledby="along-h">
      <h2 id="along-h">To take along</h2>
      <div class="actions">
        <button type="button" disabled={!ready} onClick={() => void page()}>
          Save the report
        </button>
        <button type="button" disabled={!ready || doing !== ''} onClick={() => void pdf()}>
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
        <button type="button" disabled={!ready} onClick={() => window.print()}>
          Print this page
        </button>
      </div>
      {doing === '' ? null : (
        <p class="progress" role="status">
          {doing}
        </p>
      )}
      <Problems list={problems} />
      <p class="quiet">Sunperch. All figures are estimates; local law, codes and licensed practice decide.</p>
    </section>
  );
}
