import { coverage } from '../../state/coverage.ts';
import { terrain } from '../../state/ground.ts';

const STEPS: readonly { readonly what: string; readonly source: string }[] = [
  {
    what: 'Diffraction over the ground',
    source: 'delta-Bullington, ITU-R P.526-15 section 4.5, along rays to all cells of the terrain',
  },
  { what: 'Loss in free space', source: 'ITU-R P.525-4' },
  {
    what: 'Line of sight and first Fresnel zone',
    source: 'ITU-R P.526-15 section 2; Earth of 8,500 km effective radius',
  },
  {
    what: 'Sensitivity of the receiver',
    source: 'limit of the signal-to-noise ratio by spreading factor, noise figure and man-made noise of ITU-R P.372',
  },
  { what: 'Walls', source: 'ITU-R P.2109, median; its spread goes into the odds' },
  { what: 'Odds', source: 'normal spread of the computed loss, 6 dB in sight and 10 dB over edges (judgement)' },
  {
    what: 'Skyline and sun',
    source: 'greatest elevation of the ground to each side, light bent by 7/6 of the Earth’s radius',
  },
  { what: 'Candidates', source: 'beaten by none (Pareto): area, places, clear sight, light and hours of sun' },
  { what: 'Hillshade', source: 'slopes after Horn 1981, Proceedings of the IEEE 69' },
];

/** How the result was computed, each step with its published source; behind one click. */
export function ReachMethod() {
  const outcome = coverage.value?.answer.outcome;
  const notes = [...(terrain.value?.notes ?? []), ...(outcome?.notes ?? [])];
  return (
    <details class="method">
      <summary>How was this computed</summary>
      <p>
        {outcome === undefined ? '' : `${outcome.setting} at ${outcome.frequency_MHz} MHz. `}The coverage, the
        candidates and the skyline are computed by the workshop’s own server from the terrain in its folder; a single
        link and its section in this browser, by the same method, so that map, table and section agree.
      </p>
      <ul>
        {STEPS.map((step) => (
          <li key={step.what}>
            {step.what}: {step.source}
          </li>
        ))}
      </ul>
      {[...new Set(notes)].map((note) => (
        <p key={note}>{note}</p>
      ))}
      <p>
        Fields are drawn in cividis (Nuñez, Anderton and Renslow 2018), which looks alike with and without a deficiency
        of colour vision.
      </p>
    </details>
  );
}
