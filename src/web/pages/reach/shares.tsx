/** Shares of the ground, in a table. */

import { unitOf } from '../../display/units.ts';
import { DataTable } from '../../parts/table.tsx';
import { coverage, isFull } from '../../state/coverage.ts';
import { format, settings } from '../../state/settings.ts';
import { reader } from './reader.ts';
import { lengthText } from './words.ts';

export function SharesSection() {
  const found = coverage.value;
  if (found === null) return null;
  const { outcome } = found.answer;
  const { share } = outcome;
  const rows: readonly [string, number][] = [
    ['reached', share.reached],
    ['reached in line of sight', share.inSight],
    ['reached over edges', share.overEdges],
    ['with a margin of 10 dB or more', share.margin10],
    ['with a margin of 20 dB or more', share.margin20],
    ['reached with odds of 90 % or better', share.sure],
    ['in line of sight, reached or not', share.sight],
  ];
  const unit = unitOf('area_km2', settings.value);
  const known = Math.max(outcome.share.reached, 1e-9);
  return (
    <section class={isFull.value ? undefined : 'stale'} aria-labelledby="shares-h">
      <h2 id="shares-h">Shares of the ground</h2>
      <p class="said">
        {lengthText(reader(), 'area_km2', outcome.area_km2)} are reached, out to{' '}
        {lengthText(reader(), 'farthest_km', outcome.farthest_km)} at the farthest.
        {share.unknown > 0
          ? ` ${format.value.percent(share.unknown)} of the circle lies beyond the terrain and is not counted.`
          : ''}
      </p>
      <DataTable
        tight
        caption={`Within ${lengthText(reader(), 'radius_km', outcome.radius_km)}, of the ground whose height is known`}
        columns={[
          { key: 'what', head: 'ground' },
          { key: 'share', head: 'share, %', figures: true },
          { key: 'area', head: `area, ${unit.symbol}`, figures: true },
        ]}
        rows={rows.map(([what, v]) => ({
          key: what,
          cells: [
            what,
            format.value.percent(v, 1).replace(' %', ''),
            format.value.figure(unit.toShown((outcome.area_km2 * v) / known)),
          ],
        }))}
      />
    </section>
  );
}
