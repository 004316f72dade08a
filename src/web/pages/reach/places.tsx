/** The other perches and the named places: who is reached, how surely, and what stands in the way. */

import { unitOf } from '../../display/units.ts';
import { DataTable, type Row } from '../../parts/table.tsx';
import { coverage } from '../../state/coverage.ts';
import { links } from '../../state/links.ts';
import { notify } from '../../state/notices.ts';
import { places, type SectionEnd, sectionEnd } from '../../state/reach.ts';
import { settings } from '../../state/settings.ts';
import { type MarkState, markSvg } from './marks.ts';
import { FAR_km, otherPerches, perchKey, stateOfLink } from './other-perches.ts';
import { PointFiles } from './point-files.tsx';
import { reader } from './reader.ts';
import { lengthText, oddsText } from './words.ts';

const MOST_PLACES = 200;
const COLUMNS = () => [
  { key: 'name', head: 'who' },
  { key: 'state', head: 'state' },
  { key: 'distance', head: `distance, ${unitOf('distance_km', settings.value).symbol}`, figures: true },
  { key: 'azimuth', head: 'bearing, °', figures: true },
  { key: 'margin', head: 'margin, dB', figures: true },
  { key: 'odds', head: 'odds', figures: true },
  { key: 'sight', head: 'sight' },
  { key: 'dominant', head: 'what takes most' },
];

interface Told {
  readonly key: string;
  readonly name: string;
  readonly state: MarkState;
  readonly end: SectionEnd;
  readonly distance_km: number | null;
  readonly azimuth_deg: number | null;
  readonly margin_dB: number | null;
  readonly odds: number | null;
  readonly sight: string;
  readonly dominant: string;
  readonly onDrop?: () => void;
}

export function PlacesSection() {
  const perches = perchRows();
  const named = placeRows();
  const reached = perches.filter((r) => r.state === 'reached').length;
  const judged = perches.filter((r) => r.state !== 'not judged').length;
  return (
    <section aria-labelledby="places-h">
      <h2 id="places-h">Perches and places</h2>
      {perches.length === 0 ? (
        <p class="said">There is no other perch within {lengthText(reader(), 'far_km', FAR_km)}.</p>
      ) : (
        <>
          <p class="said">
            {judged < perches.length
              ? `${judged} of ${perches.length} links are looked at …`
              : `${reached} of ${perches.length} other ${perches.length === 1 ? 'perch is' : 'perches are'} reached with odds of 90 % or better, the kit in hand at both ends.`}
          </p>
          <DataTable tight caption="Other perches, the nearest first" columns={COLUMNS()} rows={perches.map(rowOf)} />
        </>
      )}
      {named.length === 0 ? null : (
        <DataTable
          tight
          caption="Places, with the other end chosen beside the map"
          columns={[...COLUMNS(), { key: 'drop', head: <span class="unseen">take off</span> }]}
          rows={named.map((r) => {
            const row = rowOf(r);
            return {
              ...row,
              cells: [
                ...row.cells,
                <button
                  key="d"
                  type="button"
                  class="plain"
                  aria-label={`take ${r.name} off the list`}
                  onClick={r.onDrop}
                >
                  take off
                </button>,
              ],
            };
          })}
        />
      )}
      <PointFiles list={places} what="places" most={MOST_PLACES} />
    </section>
  );
}

function rowOf(r: Told): Row {
  const read = reader();
  const { format, display } = read;
  const number = (v: number | null, tell: (v: number) => string) => (v === null ? '–' : tell(v));
  const now = sectionEnd.value;
  const chosen = now !== null && JSON.stringify(now) === JSON.stringify(r.end);
  return {
    key: r.key,
    emphasis: chosen,
    cells: [
      <button
        key="n"
        type="button"
        class="plain"
        aria-pressed={chosen}
        onClick={() => {
          sectionEnd.value = r.end;
          document.getElementById('section')?.scrollIntoView({ block: 'nearest' });
        }}
      >
        {r.name}
      </button>,
      <span key="s" class="state-word">
        <span class="mark-sign" dangerouslySetInnerHTML={{ __html: markSvg({ kind: 'perch', state: r.state }) }} />
        {r.state}
      </span>,
      number(r.distance_km, (v) => format.fixed(unitOf('distance_km', display).toShown(v), v < 10 ? 2 : 1)),
      number(r.azimuth_deg, (v) => format.fixed(v, 0)),
      number(r.margin_dB, (v) => format.fixed(v, 1)),
      number(r.odds, (v) => oddsText(read, v)),
      r.sight,
      r.dominant,
    ],
  };
}

function perchRows(): Told[] {
  const known = links.value;
  return otherPerches.value.map(({ record, away_km }) => {
    const key = perchKey(record);
    const found = known.get(key);
    const link = found && 'outcome' in found ? found.outcome : undefined;
    const failed = found && 'problems' in found ? found.problems[0]?.message : undefined;
    return {
      key: record.id,
      name: record.name,
      state: stateOfLink(key),
      end: { kind: 'perch', id: record.id },
      distance_km: link?.distance_km ?? away_km,
      azimuth_deg: link?.azimuth_deg ?? null,
      margin_dB: link?.margin_dB ?? null,
      odds: link?.odds ?? null,
      sight: link === undefined ? '–' : link.kind,
      dominant: link?.dominant ?? failed ?? '–',
    };
  });
}

function placeRows(): Told[] {
  const outcome = coverage.value?.answer.outcome;
  const judged = new Map((outcome?.places ?? []).map((p) => [p.name, p]));
  const skipped = new Map((outcome?.skipped ?? []).map((p) => [p.name, p.reason]));
  return places.value.map((p) => {
    const found = judged.get(p.name);
    return {
      key: p.name,
      name: p.name,
      state:
        found === undefined
          ? 'not judged'
          : found.odds >= 0.9
            ? 'reached'
            : found.reached
              ? 'on the edge'
              : 'not reached',
      end: { kind: 'place', name: p.name },
      distance_km: found?.distance_km ?? null,
      azimuth_deg: found?.azimuth_deg ?? null,
      margin_dB: found?.margin_dB ?? null,
      odds: found?.odds ?? null,
      sight: found?.sight ?? '–',
      dominant: found?.dominant ?? skipped.get(p.name) ?? '–',
      onDrop: () => {
        const before = places.value;
        places.value = before.filter((q) => q.name !== p.name);
        notify(`${p.name} was taken off the list.`, {
          label: 'Undo',
          act: () => {
            places.value = before;
          },
        });
      },
    };
  });
}
