/** What can be done at a chosen point: a new perch, a candidate, a place to be reached. */
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { newRecord } from '../../../app/new.ts';
import type { Problem } from '../../../core/units/index.ts';
import { parseSetting } from '../../../formats/setting.ts';
import { parseYamlRecord } from '../../../formats/yaml-record.ts';
import { writeYamlRecord } from '../../../formats/yaml-write.ts';
import { applySettings } from '../../../records/override.ts';
import { formatPosition } from '../../../report/index.ts';
import { getHeight, Stopped } from '../../api/client.ts';
import { Problems } from '../../parts/problems.tsx';
import { go, reachOf } from '../../routes.ts';
import * as design from '../../state/design.ts';
import { lookAround, skylineSetting } from '../../state/ground.ts';
import { notify } from '../../state/notices.ts';
import { candidates, isMoved, moveTo, picked, places, type Spot, spotNow } from '../../state/reach.ts';
import { figures } from '../../state/settings.ts';
import { callProblems, remove, save } from '../../state/workshop.ts';
import type { Field } from './field.ts';
import { freshName } from './point-lists.ts';
import { valuesText } from './values.ts';

type Doing = 'perch' | 'candidate' | 'place';

const ASKS: Readonly<Record<Doing, string>> = {
  perch: 'name of the new perch',
  candidate: 'name of the candidate',
  place: 'name of the place',
};
const DOES: Readonly<Record<Doing, string>> = {
  perch: 'Make the perch',
  candidate: 'Add the candidate',
  place: 'Add the place',
};

export function PickedLine({ middle, field }: { readonly middle: () => Spot; readonly field: Field | null }) {
  const [doing, setDoing] = useState<Doing | null>(null);
  const at = picked.value;
  const begin = (what: Doing) => {
    if (picked.value === null) picked.value = middle();
    setDoing(what);
  };
  return (
    <div class="picked">
      <p class="said" aria-live="polite">
        {at === null
          ? 'No point is chosen: the middle of the map counts.'
          : `Chosen: ${valuesText(at, field, spotNow.value)}.`}
      </p>
      <div class="actions">
        <button type="button" aria-expanded={doing === 'perch'} onClick={() => begin('perch')}>
          New perch here
        </button>
        <button type="button" aria-expanded={doing === 'candidate'} onClick={() => begin('candidate')}>
          Candidate here
        </button>
        <button type="button" aria-expanded={doing === 'place'} onClick={() => begin('place')}>
          Place to reach here
        </button>
        {spotNow.value === null ? (
          <button type="button" onClick={() => moveTo(picked.value ?? middle())}>
            Put the perch here
          </button>
        ) : null}
        {at === null ? null : (
          <button
            type="button"
            class="plain"
            onClick={() => {
              picked.value = null;
              setDoing(null);
            }}
          >
            forget the point
          </button>
        )}
      </div>
      {doing === null || at === null ? null : (
        <NameForm key={doing} doing={doing} at={at} onDone={() => setDoing(null)} />
      )}
    </div>
  );
}

function NameForm({ doing, at, onDone }: { readonly doing: Doing; readonly at: Spot; readonly onDone: () => void }) {
  const id = useId();
  const field = useRef<HTMLInputElement>(null);
  const [name, setName] = useState('');
  const [busy, setBusy] = useState(false);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  useEffect(() => field.current?.focus(), []);
  const make = async () => {
    const given = name.trim();
    if (given === '') {
      setProblems([{ code: 'missing', message: `the ${ASKS[doing]} is missing: it tells this one from the others` }]);
      field.current?.focus();
      return;
    }
    if (doing !== 'perch') {
      const list = doing === 'place' ? places : candidates;
      list.value = [...list.value, { name: freshName(given, list.value), ...at }];
      picked.value = null;
      onDone();
      return;
    }
    setBusy(true);
    try {
      await makePerch(given, at);
      onDone();
    } catch (error) {
      if (!(error instanceof Stopped)) setProblems(callProblems(error));
    }
    setBusy(false);
  };
  return (
    <form
      class="name-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void make();
      }}
    >
      <label for={id}>{ASKS[doing]}</label>
      <input
        id={id}
        ref={field}
        type="text"
        maxLength={100}
        autocomplete="off"
        value={name}
        aria-invalid={problems.length > 0}
        onInput={(event) => setName(event.currentTarget.value)}
        onKeyDown={(event) => {
          if (event.key === 'Escape') onDone();
        }}
      />
      <button type="submit" class="main" disabled={busy}>
        {busy ? 'Looking around …' : DOES[doing]}
      </button>
      <button type="button" class="plain" onClick={onDone}>
        leave it
      </button>
      {doing === 'perch' ? (
        <p class="quiet">
          At {formatPosition(at, 4, figures.value)}; height above the sea and skyline come from the terrain.
          {isMoved.value ? ' The move of the perch in hand is not saved yet; it waits there.' : ''}
        </p>
      ) : null}
      <Problems list={problems} />
    </form>
  );
}

/** Saves a new perch with height and skyline from the terrain, and takes it in hand. */
async function makePerch(name: string, at: Spot): Promise<void> {
  const kit = design.kitRecord.value;
  const before = design.perchRecord.value;
  const spot = { latitude_deg: Number(at.latitude_deg.toFixed(6)), longitude_deg: Number(at.longitude_deg.toFixed(6)) };
  const { height_m } = await getHeight(spot);
  if (height_m === null)
    throw new Error(`the terrain has no height at ${formatPosition(spot, 4)}: choose a point on it`);
  const sun = await lookAround(
    { command: 'horizon', ...(kit === null ? {} : { kit: kit.id }), at: { name, ...spot } },
    '',
  ).sun;
  const text = newRecord({ kind: 'perch', name, ...spot, elevation_m: Math.round(height_m) });
  const { raw } = applySettings(
    parseYamlRecord(text, 'the new perch').value,
    [parseSetting(skylineSetting(sun.outcome.horizon))],
    'perch',
  );
  const saved = await save(undefined, { kind: 'perch', value: undefined, text: writeYamlRecord(raw, text) });
  picked.value = null;
  notify(`${saved.name} was made.`, {
    label: 'Undo',
    act: async () => {
      // First back to where one was: a page never stands on a perch that is gone.
      if (kit !== null && before !== null) go(reachOf(kit.id, before.id));
      await remove(saved);
    },
  });
  go(reachOf(kit?.id, saved.id));
}
