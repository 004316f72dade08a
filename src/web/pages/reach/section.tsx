/** The ground on the way to a chosen end: side view with ray and first Fresnel zone, and the link in words. */
import { useSignalEffect } from '@preact/signals';
import { useCallback, useRef } from 'preact/hooks';
import { profileChart } from '../../../report/index.ts';
import type { CsvRows } from '../../parts/csv.ts';
import { type DrawOptions, Picture } from '../../parts/picture.tsx';
import { Problems } from '../../parts/problems.tsx';
import type { Place } from '../../parts/readout.ts';
import { DataTable } from '../../parts/table.tsx';
import type { FoundLink } from '../../state/links.ts';
import { bearing_deg, sectionEnd } from '../../state/reach.ts';
import { reader } from './reader.ts';
import { farEnd, farLink } from './section-ends.ts';
import { bearingText, distanceText, lengthText, marginText, oddsText } from './words.ts';

const REST_ms = 150;

export function SectionPicture() {
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const last = useRef<FoundLink | null>(null);
  // A bearing chosen in the panorama is looked along.
  useSignalEffect(() => {
    if (bearing_deg.value !== null) sectionEnd.value = { kind: 'bearing' };
  });
  useSignalEffect(() => {
    const end = farEnd.value;
    clearTimeout(timer.current);
    if (end !== undefined) timer.current = setTimeout(end.ask, REST_ms);
  });
  const end = farEnd.value;
  const link = farLink.value;
  if (link && 'outcome' in link) last.current = link;
  if (end === undefined)
    return (
      <section aria-labelledby="section-h" id="section">
        <h2 id="section-h">The ground on the way</h2>
        <p class="said">
          Choose a perch or a place in the table below, a point of the map, or a bearing in the panorama.
        </p>
      </section>
    );
  const failed = link && 'problems' in link ? link.problems : undefined;
  const shown = failed ? null : link && 'outcome' in link ? link : last.current;
  if (shown === null)
    return (
      <section aria-labelledby="section-h" id="section">
        <h2 id="section-h">The ground on the way to {end.name}</h2>
        {failed ? <Problems list={failed} /> : <p class="said">The ground is read …</p>}
      </section>
    );
  return <Shown link={shown} stale={shown !== link} />;
}

function Shown({ link, stale }: { readonly link: FoundLink; readonly stale: boolean }) {
  const { outcome, picture } = link;
  const draw = useCallback((o: DrawOptions) => profileChart(picture, o), [picture]);
  const count = picture.distance_km.length;
  const total_km = picture.distance_km[count - 1]!;
  const from_m = picture.height_m[0]! + picture.from.height_m;
  const to_m = picture.height_m[count - 1]! + picture.to.height_m;
  const ray_m = (d: number) =>
    from_m + ((to_m - from_m) * d) / total_km - (500 / picture.effectiveRadius_km) * d * (total_km - d);
  const indexAt = (x: number) => {
    const wanted = x * total_km;
    let best = 0;
    for (let i = 1; i < count; i++)
      if (Math.abs(picture.distance_km[i]! - wanted) < Math.abs(picture.distance_km[best]! - wanted)) best = i;
    return best;
  };
  const readout = ({ x }: Place) => {
    const i = indexAt(x);
    const d = picture.distance_km[i]!;
    const ground_m = picture.height_m[i]!;
    const over_m = ray_m(d) - ground_m;
    const radius_m = Math.sqrt((1000 * picture.wavelength_m * d * (total_km - d)) / total_km);
    const read = reader();
    return `${distanceText(read, d)}: ground at ${lengthText(read, 'height_m', ground_m, 4)}, the ray ${lengthText(read, 'over_m', Math.abs(over_m))} ${over_m >= 0 ? 'above' : 'below'} it; the zone is ${lengthText(read, 'radius_m', radius_m)} wide to either side`;
  };
  const csv = (): CsvRows => [
    ['distance_km', 'ground_m', 'clutter_m', 'ray_m'],
    ...Array.from(picture.distance_km, (d, i) => [d, picture.height_m[i]!, picture.clutter_m?.[i] ?? 0, ray_m(d)]),
  ];
  const read = reader();
  return (
    <Picture
      id="section"
      heading={`The ground on the way to ${picture.to.name}`}
      said={`${outcome.verdict} ${outcome.clearance}`}
      name={`${picture.from.name} to ${picture.to.name}`}
      {...{ draw, csv, readout, stale }}
      steps={60}
    >
      <DataTable
        tight
        caption="The link, both ways"
        columns={[
          { key: 'what', head: 'what' },
          { key: 'there', head: 'there', figures: true },
          { key: 'back', head: 'back', figures: true },
        ]}
        rows={[
          {
            key: 'received',
            cells: [
              'received, dBm',
              read.format.fixed(outcome.there.received_dBm, 1),
              read.format.fixed(outcome.back.received_dBm, 1),
            ],
          },
          {
            key: 'margin',
            cells: [
              'margin, dB',
              read.format.fixed(outcome.there.margin_dB, 1),
              read.format.fixed(outcome.back.margin_dB, 1),
            ],
          },
        ]}
      />
      <p class="said">
        {distanceText(read, outcome.distance_km)} at {bearingText(read, outcome.azimuth_deg ?? 0)}; loss{' '}
        {marginText(read, outcome.loss_dB, 1)}, of it {marginText(read, outcome.diffraction_dB, 1)} by diffraction; odds{' '}
        {oddsText(read, outcome.odds)}.{outcome.mastAdvice === null ? '' : ` ${outcome.mastAdvice}`}
        {outcome.closesWith === null
          ? ' It closes with no spreading factor.'
          : ` Lowest spreading factor that closes: ${outcome.closesWith}.`}
      </p>
    </Picture>
  );
}
