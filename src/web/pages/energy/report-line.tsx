import { type Fonts, reportPage } from '../../../report/index.ts';
import { fileName } from '../../parts/csv.ts';
import { embeddedFonts, saveText } from '../../parts/download.ts';
import * as design from '../../state/design.ts';

/** The same result to take along: printed, or as one file that needs nothing else. */
export function ReportLine() {
  const result = design.exact.value;
  const ready = result !== null && design.isExact.value;
  const file = async () => {
    if (result === null) return;
    const { outcome, pictures } = result;
    const fonts: Fonts | undefined = await embeddedFonts();
    const page = reportPage({
      outcome,
      pictures,
      generatedFrom: [outcome.kit, outcome.perch, ...design.changes.value],
      ...(fonts ? { fonts } : {}),
    });
    saveText(fileName(`${outcome.kit} at ${outcome.perch}`, 'html'), page, 'text/html');
  };
  return (
    <section class="take-along" aria-labelledby="along-h">
      <h2 id="along-h">To take along</h2>
      <div class="actions">
        <button type="button" disabled={!ready} onClick={() => void file()}>
          Save the report
        </button>
        <button type="button" disabled={!ready} onClick={() => window.print()}>
          Print this page
        </button>
      </div>
      <p class="quiet">Sunperch. All figures are estimates; local law, codes and licensed practice decide.</p>
    </section>
  );
}
