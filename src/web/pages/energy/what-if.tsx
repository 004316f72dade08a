/** The controls beside the result: turn one and the winter changes at once. */

import { signal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import type { Problem } from '../../../core/units/index.ts';
import { parseSetting } from '../../../formats/setting.ts';
import { writeYamlRecord } from '../../../formats/yaml-write.ts';
import type { Kit, Perch } from '../../../records/index.ts';
import { applySettings } from '../../../records/override.ts';
import type { StoredRecord } from '../../../server/api.ts';
import { Refused } from '../../api/client.ts';
import { Problems, problemsAt } from '../../parts/problems.tsx';
import { Slider } from '../../parts/slider.tsx';
import { editorOf } from '../../routes.ts';
import * as design from '../../state/design.ts';
import { notify } from '../../state/notices.ts';
import { keepVariant, MOST_VARIANTS, variants } from '../../state/variants.ts';
import { callProblems, save, undoSave } from '../../state/workshop.ts';
import { controlsOf } from './controls.ts';

const saveProblems = signal<readonly Problem[]>([]);

export function WhatIf() {
  const good = useRef<{ kit: Kit; perch: Perch } | null>(null);
  const { kitNow, perchNow, kitSaved, perchSaved } = design;
  const kit = kitNow.value;
  const perch = perchNow.value;
  if (kit?.ok && perch?.ok) good.current = { kit: kit.value, perch: perch.value };
  const saved =
    kitSaved.value?.ok && perchSaved.value?.ok ? { kit: kitSaved.value.value, perch: perchSaved.value.value } : null;
  const problems = design.designProblems.value;
  if (good.current === null || saved === null) return <Problems list={problems} />;
  const controls = controlsOf(saved, good.current);
  const were = controlsOf(saved, saved);
  const elsewhere = problems.filter(
    (p) => !controls.some(({ field }) => problemsAt([p], field.replace(/\.power_W$/, '')).length > 0),
  );
  const changed = design.changes.value.length > 0;
  return (
    <section class="what-if" aria-labelledby="what-if-h">
      <h2 id="what-if-h">What if</h2>
      {controls.map((c, i) => {
        const was = were[i]!.value;
        return (
          <Slider
            key={c.field}
            label={c.label}
            field={c.field}
            value={c.value}
            low={c.low}
            high={c.high}
            step={c.step}
            problems={problemsAt(problems, c.field)}
            disabled={c.fixed === true}
            {...(was === c.value || were[i]!.field !== c.field ? {} : { was })}
            {...(c.note ? { note: c.note } : {})}
            onChange={(value) => design.adjust(c.settingsFor(value), c.field)}
            onEnd={design.endGesture}
          />
        );
      })}
      <Problems list={elsewhere} />
      <div class="actions">
        <button type="button" disabled={!design.canUndo.value} onClick={design.undo}>
          Undo
        </button>
        <button type="button" disabled={!design.canRedo.value} onClick={design.redo}>
          Redo
        </button>
        <button type="button" disabled={!changed} onClick={design.dropChanges}>
          As saved
        </button>
      </div>
      <div class="actions">
        <button
          type="button"
          disabled={variants.value.length >= MOST_VARIANTS || !design.isExact.value}
          onClick={keepVariant}
        >
          Keep to compare
        </button>
        <button type="button" disabled={!changed || problems.length > 0} onClick={() => void saveDesign()}>
          Save the changes
        </button>
      </div>
      <Problems list={saveProblems.value} />
      <p class="quiet">
        Everything else: <a href={editorOf('kit', design.kitRecord.value?.id ?? '')}>edit the kit</a>,{' '}
        <a href={editorOf('perch', design.perchRecord.value?.id ?? '')}>edit the perch</a>.
      </p>
    </section>
  );
}

/** The text of a record with the changes of the design written into it; undefined when none touches it. */
function changedText(record: StoredRecord, raw: unknown): string | undefined {
  const settings = design.changes.value.map(parseSetting);
  const { raw: after, touched } = applySettings(raw, settings, record.kind);
  return touched.length === 0 ? undefined : writeYamlRecord(after, record.text);
}

/** Saves what was tried as new revisions of kit and perch. */
async function saveDesign(): Promise<void> {
  const { kitRecord, perchRecord, kitSaved, perchSaved } = design;
  saveProblems.value = [];
  try {
    const done: StoredRecord[] = [];
    for (const [record, reading] of [
      [kitRecord, kitSaved],
      [perchRecord, perchSaved],
    ] as const) {
      const now = record.value;
      const text = now === null || reading.value === null ? undefined : changedText(now, reading.value.raw);
      if (now === null || text === undefined) continue;
      done.push(await save(now.id, { kind: now.kind, value: undefined, text, from: now.revision }));
    }
    design.takeSaved(done);
    notify(`Saved: ${done.map((r) => `${r.name}, revision ${r.revision}`).join('; ')}.`, {
      label: 'Undo',
      act: async () => {
        const back: StoredRecord[] = [];
        for (const record of done) back.push(await undoSave(record));
        design.takeSaved(back);
      },
    });
  } catch (error) {
    saveProblems.value =
      error instanceof Refused && error.stale
        ? [{ code: 'stale', message: `${error.stale.message}. Open it in the editor to see what differs.` }]
        : callProblems(error);
  }
}
