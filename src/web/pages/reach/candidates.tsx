/** Where should the next one stand: candidates ranked by what they reach and what winter sun they have. */
import { useCallback, useMemo, useState } from 'preact/hooks';
import type { RankedCandidate, RankOutcome } from '../../../app/rank.ts';
import { type ParetoPicture, paretoChart, paretoRange } from '../../../report/index.ts';
import type { CandidateInput, JobRequest } from '../../../server/api.ts';
import { unitOf } from '../../display/units.ts';
import type { CsvRows } from '../../parts/csv.ts';
import { JobProgress, useJob } from '../../parts/job.tsx';
import { type DrawOptions, Picture } from '../../parts/picture.tsx';
import { Problems } from '../../parts/problems.tsx';
import type { Place } from '../../parts/readout.ts';
import { DataTable } from '../../parts/table.tsx';
import { go, reachOf } from '../../routes.ts';
import { filesKey, filesOfJob, onGround } from '../../state/around.ts';
import * as design from '../../state/design.ts';
import { notify } from '../../state/notices.ts';
import {
  candidates,
  inHand,
  otherEnd,
  picked,
  places,
  type ReachSettings,
  reachSettings,
  sectionEnd,
  spotNow,
} from '../../state/reach.ts';
import { format, settings } from '../../state/settings.ts';
import { perches } from '../../state/workshop.ts';
import { otherPerches } from './other-perches.ts';
import { PointFiles } from './point-files.tsx';
import { reader } from './reader.ts';
import { lengthText, rankSentence } from './words.ts';

const MOST = 50;
/** From the middle of the area to the farthest that is looked at. */
const MOST_km = 60;

export function CandidateSection() {
  const own = design.perchRecord.value;
  const here = spotNow.value;
  const [taken, setTaken] = useState<ReadonlySet<string>>(new Set());
  const others = otherPerches.value;
  const listed = candidates.value;
  const records = [...(own === null ? [] : [own]), ...others.map((o) => o.record)].filter((r) => taken.has(r.id));
  const count = listed.length + records.length;
  const request = useMemo((): JobRequest | null => {
    if (here === null || count === 0) return null;
    const now = reachSettings.value;
    // Those that stand farther off play no part in this circle.
    const standing = others.filter((o) => o.away_km + now.radius_km < MOST_km && !taken.has(o.record.id));
    const names = [...(own === null || taken.has(own.id) ? [] : [own.id]), ...standing.map((o) => o.record.id)];
    return {
      command: 'rank',
      kit: inHand('kit'),
      candidates: [...listed, ...records.map((r) => r.id)],
      perches: names,
      ...otherEnd(now),
      ...groundOfRank(now),
      ...filesOfJob(),
      area: { ...here, radius_km: now.radius_km },
      ...(places.value.length > 0 ? { places: places.value } : {}),
    };
  }, [
    here,
    listed,
    taken,
    count,
    reachSettings.value,
    places.value,
    filesKey.value,
    design.changes.value,
    design.kitRecord.value,
  ]);
  const job = useJob<RankOutcome>(`rank ${JSON.stringify(request)} ${revisions()}`);
  return (
    <section id="candidates" aria-labelledby="candidates-h">
      <h2 id="candidates-h">Where the next one could stand</h2>
      <p class="said">
        Candidates are ranked over the circle of {lengthText(reader(), 'radius_km', reachSettings.value.radius_km)}{' '}
        around {own?.name ?? 'the perch in hand'}: what they reach, whom they see, what winter sun they have. Add spots
        on the map or from a file; perches of the workshop can be ranked with them.
      </p>
      <Listed list={listed} />
      <fieldset class="choice perch-choice">
        <legend class="unseen">Perches ranked as candidates</legend>
        {[...(own === null || here === null ? [] : [own]), ...others.map((o) => o.record)].slice(0, MOST).map((r) => (
          <label key={r.id}>
            <input
              type="checkbox"
              checked={taken.has(r.id)}
              onChange={(event) => {
                const next = new Set(taken);
                if (event.currentTarget.checked) next.add(r.id);
                else next.delete(r.id);
                setTaken(next);
              }}
            />{' '}
            {r.name}
          </label>
        ))}
      </fieldset>
      <PointFiles list={candidates} what="candidates" most={MOST} />
      <div class="actions">
        <button
          type="button"
          class="main"
          disabled={request === null || count > MOST || job.status !== null}
          onClick={() => request && job.start(request)}
        >
          Rank{' '}
          {count === 0 ? 'them' : count === 1 ? 'the one candidate' : `the ${format.value.figure(count)} candidates`}
        </button>
      </div>
      {count > MOST ? <p class="said">At most {MOST} candidates are ranked at once.</p> : null}
      <JobProgress job={job} />
      <Problems list={job.problems} />
      {job.result === undefined ? null : <Ranked outcome={job.result} />}
    </section>
  );
}

/** A ranking knows wood around the other end, and cover by file; not the same height on all ground. */
function groundOfRank(settings: ReachSettings): Pick<JobRequest, 'woods_m'> {
  const { woods_m } = onGround(settings);
  return woods_m === undefined ? {} : { woods_m };
}

/** Another revision of any perch is another ranking. */
const revisions = () => perches.value.map((p) => p.revision).join('.');

function Listed({ list }: { readonly list: readonly CandidateInput[] }) {
  if (list.length === 0) return null;
  const drop = (name: string) => {
    const before = candidates.value;
    candidates.value = before.filter((c) => c.name !== name);
    notify(`${name} was taken off the list.`, {
      label: 'Undo',
      act: () => {
        candidates.value = before;
      },
    });
  };
  return (
    <ul class="listed">
      {list.map((c) => (
        <li key={c.name}>
          {c.name}{' '}
          <button type="button" class="plain" aria-label={`take ${c.name} off the list`} onClick={() => drop(c.name)}>
            take off
          </button>
        </li>
      ))}
    </ul>
  );
}

/** A perch of the workshop is taken in hand; a spot becomes the chosen point, where a perch can be made. */
function take(candidate: RankedCandidate): void {
  const record = perches.value.find(
    (p) => p.name === candidate.name && !candidates.value.some((c) => c.name === candidate.name),
  );
  if (record !== undefined) {
    go(reachOf(design.kitRecord.value?.id, record.id));
    return;
  }
  const at = { latitude_deg: candidate.latitude_deg, longitude_deg: candidate.longitude_deg };
  picked.value = at;
  sectionEnd.value = { kind: 'point', at };
  notify(`${candidate.name} is the chosen point: “New perch here” below the map makes a perch of it.`);
  document.querySelector('.reach-map')?.scrollIntoView({ block: 'start' });
}

function Ranked({ outcome }: { readonly outcome: RankOutcome }) {
  const month = outcome.candidates[0]?.winter.month ?? 12;
  const chosen = design.perchRecord.value?.name;
  const picture = useMemo(
    (): ParetoPicture => ({
      points: outcome.candidates.map((c) => ({
        name: c.name,
        reachedShare: c.reachedShare,
        light_kWh_m2: c.winter.light_kWh_m2,
        onFront: c.onFront,
      })),
      month,
      ...(chosen === undefined ? {} : { chosen }),
    }),
    [outcome, chosen],
  );
  const draw = useCallback(
    (o: DrawOptions) => paretoChart(picture, { ...o, width: Math.min(o.width, 640) }),
    [picture],
  );
  const stops = () => {
    const { most_pct, most_kWh_m2 } = paretoRange(picture.points);
    return picture.points.map((p) => ({
      x: (100 * p.reachedShare) / most_pct,
      y: 1 - p.light_kWh_m2 / most_kWh_m2,
    }));
  };
  const at = ({ stop }: Place) => (stop === undefined ? undefined : outcome.candidates[stop]);
  const read = reader();
  const readout = (place: Place) => {
    const c = at(place);
    return c === undefined
      ? ''
      : `${c.name}: ${read.format.figure(100 * c.reachedShare, 2)} % of the area, ${read.format.figure(c.winter.light_kWh_m2, 3)} kWh/m²; ${c.role}, ${c.onFront ? 'beaten by none' : 'beaten'}; press to take it`;
  };
  const csv = (): CsvRows => [
    [
      'name',
      'latitude_deg',
      'longitude_deg',
      'reached_km2',
      'reached_share',
      'places_reached',
      'clear_sight',
      'month',
      'visible_h',
      'light_kWh_m2',
      'role',
      'beaten_by_none',
      'access',
    ],
    ...outcome.candidates.map((c) => [
      c.name,
      c.latitude_deg,
      c.longitude_deg,
      c.reached_km2,
      c.reachedShare,
      c.placesReached.length,
      c.clearSight,
      c.winter.month,
      c.winter.visible_h,
      c.winter.light_kWh_m2,
      c.role,
      c.onFront ? 'yes' : 'no',
      c.access,
    ]),
  ];
  const unit = unitOf('ground_m', settings.value);
  const places = outcome.candidates.some((c) => c.placesReached.length + c.placesMissed.length > 0);
  return (
    <Picture
      id="pareto"
      level={3}
      heading="Area reached against winter light"
      said={rankSentence(read, outcome)}
      name={`candidates ${outcome.kit}`}
      {...{ draw, csv, readout, stops }}
      most={640}
      onPick={(place) => {
        const c = at(place);
        if (c) take(c);
      }}
    >
      <DataTable
        tight
        caption={`Candidates for ${outcome.kit}, those beaten by none first`}
        columns={[
          { key: 'name', head: 'candidate' },
          { key: 'ground', head: `ground, ${unit.symbol}`, figures: true },
          { key: 'area', head: 'area reached, %', figures: true },
          ...(places ? [{ key: 'places', head: 'places', figures: true }] : []),
          { key: 'clear', head: 'in clear sight', figures: true },
          { key: 'sun', head: 'sun, h a day', figures: true },
          { key: 'light', head: 'light, kWh/m²', figures: true },
          { key: 'role', head: 'role, and why' },
          { key: 'access', head: 'way there' },
        ]}
        rows={[...outcome.candidates]
          .sort((a, b) => Number(b.onFront) - Number(a.onFront) || b.reachedShare - a.reachedShare)
          .map((c) => ({
            key: c.name,
            emphasis: c.name === chosen,
            cells: [
              <span key="n">
                <button type="button" class="plain" aria-label={`take it: ${c.name}`} onClick={() => take(c)}>
                  {c.name}
                </button>
                {c.onFront ? ' (beaten by none)' : ''}
              </span>,
              read.format.fixed(unit.toShown(c.ground_m), 0),
              read.format.fixed(100 * c.reachedShare, 1),
              ...(places ? [`${c.placesReached.length} of ${c.placesReached.length + c.placesMissed.length}`] : []),
              `${c.clearSight} of ${outcome.others.filter((o) => o !== c.name).length}`,
              read.format.fixed(c.winter.visible_h, 1),
              read.format.fixed(c.winter.light_kWh_m2, 1),
              <span key="r" class="role">
                {c.role}: {c.roleReason}
              </span>,
              c.access ?? '–',
            ],
          }))}
      />
    </Picture>
  );
}
