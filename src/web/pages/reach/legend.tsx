/** What the colours and marks of the map mean. */
import { marginColour } from '../../../report/index.ts';
import { Slider } from '../../parts/slider.tsx';
import { coverage } from '../../state/coverage.ts';
import { opacity } from '../../state/reach.ts';
import { format } from '../../state/settings.ts';
import { type Mark, markSvg } from './marks.ts';

const FULL_dB = 40;
const TICKS_dB = [0, 10, 20, 40];
const MARKS: readonly (readonly [string, Pick<Mark, 'kind' | 'state'>])[] = [
  ['in hand', { kind: 'perch', state: 'in hand' }],
  ['reached', { kind: 'perch', state: 'reached' }],
  ['on the edge', { kind: 'perch', state: 'on the edge' }],
  ['not reached', { kind: 'perch', state: 'not reached' }],
  ['not judged', { kind: 'perch', state: 'not judged' }],
  ['place', { kind: 'place', state: 'not judged' }],
  ['candidate', { kind: 'candidate', state: 'not judged' }],
];

/** The legend with the slider that lets the ground through. */
export function MapKey() {
  return (
    <div class="map-key">
      <Legend />
      <Slider
        label="coverage over the map"
        field="opacity_pct"
        value={Math.round(100 * opacity.value)}
        low={0}
        high={100}
        step={5}
        problems={[]}
        onChange={(value) => {
          if (typeof value === 'number') opacity.value = Math.min(1, Math.max(0, value / 100));
        }}
        onEnd={() => undefined}
      />
    </div>
  );
}

function Legend() {
  const steps = coverage.value?.answer.picture.legend ?? [];
  // The server's own colours where they are there, so that map and legend cannot differ.
  const colours =
    steps.length > 1
      ? steps.map((s) => ({ at: s.margin_dB / FULL_dB, color: s.color }))
      : Array.from({ length: 9 }, (_, i) => ({ at: i / 8, color: marginColour((FULL_dB * i) / 8) }));
  return (
    <figure class="legend">
      <figcaption class="quiet">margin, dB; clear where it is not reached</figcaption>
      <svg viewBox="0 0 312 34" role="img" aria-label="Colours from dark blue at 0 dB to yellow at 40 dB and more">
        <defs>
          <linearGradient id="margin-ramp">
            {colours.map((c) => (
              <stop key={c.at} offset={Math.min(1, Math.max(0, c.at))} stop-color={c.color} />
            ))}
          </linearGradient>
        </defs>
        <rect x="4" y="2" width="300" height="12" fill="url(#margin-ramp)" />
        {TICKS_dB.map((t) => (
          <text
            key={t}
            x={4 + (300 * t) / FULL_dB}
            y="28"
            text-anchor={t === 0 ? 'start' : t === FULL_dB ? 'end' : 'middle'}
          >
            {t === FULL_dB ? `${format.value.figure(t)} or more` : format.value.figure(t)}
          </text>
        ))}
      </svg>
      <ul>
        {MARKS.map(([word, mark]) => (
          <li key={word}>
            <span class="mark-sign" dangerouslySetInnerHTML={{ __html: markSvg(mark) }} /> {word}
          </li>
        ))}
      </ul>
    </figure>
  );
}
