/** A moved perch is saved as a new revision, with what the ground there says; whoever saved meanwhile is not written over. */
import { signal } from '@preact/signals';
import type { Problem } from '../../../core/units/index.ts';
import { parseSetting } from '../../../formats/setting.ts';
import { writeYamlRecord } from '../../../formats/yaml-write.ts';
import { applySettings } from '../../../records/override.ts';
import type { StaleSave, StoredRecord } from '../../../server/api.ts';
import { Refused } from '../../api/client.ts';
import { Problems } from '../../parts/problems.tsx';
import * as design from '../../state/design.ts';
import { groundSettled } from '../../state/ground.ts';
import { notify } from '../../state/notices.ts';
import { OF_POSITION } from '../../state/reach.ts';
import { readPerchText } from '../../state/reading.ts';
import { callProblems, loadRecord, save, undoSave } from '../../state/workshop.ts';
import { Stale } from '../stale.tsx';

const stale = signal<StaleSave | null>(null);
const problems = signal<readonly Problem[]>([]);

export function SavePosition() {
  const changed = design.changes.value.some((c) => OF_POSITION.test(c));
  const now = stale.value;
  return (
    <>
      <div class="actions">
        <button
          type="button"
          class="main"
          disabled={!changed || design.designProblems.value.length > 0}
          onClick={() => void savePosition(design.perchRecord.value)}
        >
          Save the position
        </button>
      </div>
      <Problems list={problems.value} />
      {now === null ? null : (
        <Stale
          stale={now}
          onMine={() => void saveAfterTheirs()}
          onTheirs={() => void takeTheirs()}
          onClose={() => {
            stale.value = null;
          }}
        />
      )}
    </>
  );
}

/** Saves what a move has changed, on top of the record given; other changes in hand stay in hand. */
async function savePosition(base: StoredRecord | null): Promise<void> {
  if (base === null) return;
  problems.value = [];
  // Height and skyline belong to the place: a move that was just made waits for them.
  await groundSettled();
  const mine = design.changes.value.filter((c) => OF_POSITION.test(c));
  const rest = design.changes.value.filter((c) => !OF_POSITION.test(c));
  try {
    const reading = readPerchText(base.text);
    const { raw } = applySettings(reading.raw, mine.map(parseSetting), 'perch');
    const saved = await save(base.id, {
      kind: base.kind,
      value: undefined,
      text: writeYamlRecord(raw, base.text),
      from: base.revision,
      note: 'moved on the map',
    });
    stale.value = null;
    taken(saved, rest);
    notify(`${saved.name} is saved as revision ${saved.revision}.`, {
      label: 'Undo',
      act: async () => taken(await undoSave(saved), rest),
    });
  } catch (error) {
    if (error instanceof Refused && error.stale) stale.value = error.stale;
    else problems.value = callProblems(error);
  }
}

function taken(saved: StoredRecord, rest: readonly string[]): void {
  design.takeSaved([saved]);
  if (rest.length > 0) design.putChanges(rest);
}

/** Mine on top of theirs: their other fields stay. */
async function saveAfterTheirs(): Promise<void> {
  const perch = design.perchRecord.value;
  if (perch !== null) await savePosition(await loadRecord(perch.id, true));
}

async function takeTheirs(): Promise<void> {
  const perch = design.perchRecord.value;
  if (perch === null) return;
  const rest = design.changes.value.filter((c) => !OF_POSITION.test(c));
  const theirs = await loadRecord(perch.id, true);
  stale.value = null;
  taken(theirs, rest);
}
