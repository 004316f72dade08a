import { BALANCE_TEXT, PALETTE_TEXT, YEAR_STEPS } from '../../../report/sources.ts';
import * as design from '../../state/design.ts';
import { format } from '../../state/settings.ts';

/** How the result was computed, step by step, each with its published source; behind one click. */
export function Method() {
  const outcome = design.exact.value?.outcome;
  if (outcome === undefined) return null;
  return (
    <details class="method">
      <summary>How was this computed</summary>
      <p>
        {format.value.figure(outcome.years, 9)} years, seed {outcome.seed}; weather: {outcome.weather}. {BALANCE_TEXT}
      </p>
      <p>
        A first look uses the same models over fewer years. Both run in this browser; nothing leaves it but what is
        saved. The map of panel and cells and the map of climates are computed by the workshop’s own server.
      </p>
      <ul>
        {YEAR_STEPS.map((step) => (
          <li key={step.what}>
            {step.what}: {step.source}
          </li>
        ))}
      </ul>
      <p>{PALETTE_TEXT}</p>
    </details>
  );
}
