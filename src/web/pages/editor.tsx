/** Editing a kit, a perch or a net: a form and its text side by side in one, checks while typing, what is assumed in sight. */
import { useEffect, useMemo, useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import { writeYamlRecord } from '../../formats/yaml-write.ts';
import type { Path } from '../../records/loose.ts';
import type { RecordKind, StaleSave, StoredRecord } from '../../server/api.ts';
import { Refused } from '../api/client.ts';
import { withField } from '../forms/edit-value.ts';
import { NetForm } from '../forms/net-form.tsx';
import { RecordForm } from '../forms/record-form.tsx';
import { TextView } from '../forms/text-view.tsx';
import { Assumptions } from '../parts/assumptions.tsx';
import { Problems } from '../parts/problems.tsx';
import { editorOf, energyOf, go, reachOf, start } from '../routes.ts';
import { draftOf, keepDraft } from '../state/drafts.ts';
import { type History, useHistory } from '../state/history.ts';
import { notify } from '../state/notices.ts';
import { readKitText, readNetText, readPerchText } from '../state/reading.ts';
import { format } from '../state/settings.ts';
import { callProblems, loadRecord, remove, save, undoSave } from '../state/workshop.ts';
import { Stale } from './stale.tsx';
import { NotThere, Waiting } from './waiting.tsx';

const WORD = { kit: 'kit', perch: 'perch', net: 'net' } as const;
const READ = { kit: readKitText, perch: readPerchText, net: readNetText } as const;

export function EditorPage({ kind, id }: { readonly kind: RecordKind; readonly id: string }) {
  const [record, setRecord] = useState<StoredRecord | null>(null);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  useEffect(() => {
    let here = true;
    setRecord(null);
    setProblems([]);
    loadRecord(id, true).then(
      (r) => here && setRecord(r),
      (error: unknown) => here && setProblems(callProblems(error)),
    );
    return () => {
      here = false;
    };
  }, [id]);
  if (problems.length > 0) return <NotThere problems={problems} />;
  if (record === null) return <Waiting what={`the ${WORD[kind]}`} />;
  return <Editor key={record.id} record={{ ...record, kind }} onSaved={setRecord} />;
}

function Editor({ record, onSaved }: { readonly record: StoredRecord; readonly onSaved: (r: StoredRecord) => void }) {
  const { kind } = record;
  const draft = useMemo(() => draftOf(record.id), [record.id]);
  const history = useHistory(record.text, draft?.text);
  // The revision that the edit began from.
  const [from, setFrom] = useState(draft?.from ?? record.revision);
  const { now: text } = history;
  const [view, setView] = useState<'form' | 'text'>('form');
  const [stale, setStale] = useState<StaleSave | null>(null);
  const [refused, setRefused] = useState<readonly Problem[]>([]);
  const reading = useMemo(() => READ[kind](text), [kind, text]);
  const problems = reading.ok ? refused : reading.problems;
  const changed = text !== record.text;
  const name = (reading.raw as { name?: unknown } | undefined)?.name;
  const called = typeof name === 'string' && name !== '' ? name : record.name;
  const pair = kind === 'kit' ? [record.id] : [undefined, record.id];
  useLeaveWarning(changed);
  useEffect(() => keepDraft(record.id, changed ? { text, from } : undefined), [record.id, changed, text, from]);
  const edit = (path: Path, value: unknown) => {
    setRefused([]);
    history.put(writeYamlRecord(withField(reading.raw, path, value), text), path.join('.'));
  };
  const editList = (path: Path, value: unknown) => {
    setRefused([]);
    history.put(writeYamlRecord(withField(reading.raw, path, value), text));
  };
  const store = async (since: number) => {
    try {
      const saved = await save(record.id, { kind, value: undefined, text, from: since });
      setFrom(saved.revision);
      setStale(null);
      setRefused([]);
      history.reset(saved.text);
      onSaved(saved);
      notify(`${saved.name} is saved as revision ${saved.revision}.`, {
        label: 'Undo',
        act: async () => {
          const back = await undoSave(saved);
          history.reset(back.text);
          setFrom(back.revision);
          onSaved(back);
        },
      });
    } catch (error) {
      if (error instanceof Refused && error.stale) setStale(error.stale);
      else setRefused(callProblems(error));
    }
  };
  const takeTheirs = async () => {
    const theirs = await loadRecord(record.id, true);
    setStale(null);
    setFrom(theirs.revision);
    history.put(theirs.text);
    onSaved(theirs);
  };
  return (
    <div class="page wide-aside">
      <p class="thing">
        <b>{called}</b>
        <span>
          {WORD[kind]}, revision {record.revision}
        </span>
        <span>saved {format.value.moment(record.saved)}</span>
        {kind === 'net' ? null : (
          <>
            <a href={energyOf(...pair)}>its winter</a>
            <a href={reachOf(...pair)}>whom it reaches</a>
          </>
        )}
      </p>
      <h1 aria-live="polite">
        {sentence(called, changed, problems.length, reading.ok ? reading.assumptions.length : 0)}
      </h1>
      <Actions
        {...{ history, changed, record, view, setView }}
        canSave={changed && reading.ok}
        onSave={() => void store(from)}
      />
      {stale === null ? null : (
        <Stale
          stale={stale}
          onMine={() => void store(stale.revision)}
          onTheirs={() => void takeTheirs()}
          onClose={() => setStale(null)}
        />
      )}
      <div class="columns">
        <main>
          {reading.raw === undefined || view === 'text' ? (
            <TextView text={text} problems={problems} onChange={(next) => history.put(next, 'text')} />
          ) : (
            <>
              <Elsewhere problems={problems} />
              {kind === 'net' ? (
                <NetForm raw={reading.raw} problems={problems} onEdit={edit} onList={editList} />
              ) : (
                <RecordForm
                  {...{ kind, problems }}
                  raw={reading.raw}
                  whole={reading.ok ? reading.value : undefined}
                  onEdit={edit}
                  onList={editList}
                />
              )}
            </>
          )}
        </main>
        <aside>
          <Assumptions list={reading.ok ? reading.assumptions : []} waiting={!reading.ok} />
        </aside>
      </div>
    </div>
  );
}

function sentence(name: string, changed: boolean, wrong: number, assumed: number): string {
  if (wrong > 0) return `${name}: ${wrong === 1 ? 'one thing is' : `${wrong} things are`} to be mended.`;
  const guesses =
    assumed === 0 ? 'nothing is assumed' : `${assumed} ${assumed === 1 ? 'value is' : 'values are'} assumed`;
  return changed ? `${name} has changes that are not saved yet; ${guesses}.` : `${name} is complete; ${guesses}.`;
}

interface ActionsProps {
  readonly history: History;
  readonly changed: boolean;
  readonly canSave: boolean;
  readonly record: StoredRecord;
  readonly view: 'form' | 'text';
  readonly setView: (view: 'form' | 'text') => void;
  readonly onSave: () => void;
}

function Actions({ history, changed, canSave, record, view, setView, onSave }: ActionsProps) {
  const copy = async () => {
    try {
      const named = withField(parseYamlRecord(history.now, 'the record').value, ['name'], `${record.name}, copy`);
      const text = writeYamlRecord(named, history.now);
      const saved = await save(undefined, { kind: record.kind, value: undefined, text });
      notify(`${saved.name} was made.`);
      go(editorOf(record.kind, saved.id));
    } catch (error) {
      notify(callProblems(error)[0]?.message ?? 'It could not be copied.');
    }
  };
  const away = async () => {
    try {
      await remove(record);
      go(start);
    } catch (error) {
      notify(callProblems(error)[0]?.message ?? 'It could not be taken out.');
    }
  };
  return (
    <div class="actions">
      <button type="button" class="main" disabled={!canSave} onClick={onSave}>
        Save
      </button>
      <button type="button" disabled={!history.canUndo} onClick={history.undo}>
        Undo
      </button>
      <button type="button" disabled={!history.canRedo} onClick={history.redo}>
        Redo
      </button>
      <button type="button" disabled={!changed} onClick={() => history.put(record.text)}>
        Back to what is saved
      </button>
      <fieldset class="switch">
        <legend class="unseen">View</legend>
        <button type="button" aria-pressed={view === 'form'} onClick={() => setView('form')}>
          Form
        </button>
        <button type="button" aria-pressed={view === 'text'} onClick={() => setView('text')}>
          Text
        </button>
      </fieldset>
      <button type="button" class="plain" onClick={() => void copy()}>
        copy as a new one
      </button>
      <button type="button" class="plain" onClick={() => void away()}>
        take it out of the workshop
      </button>
    </div>
  );
}

/** Problems of fields that the form does not show. */
function Elsewhere({ problems }: { readonly problems: readonly Problem[] }) {
  const [shown, setShown] = useState<readonly Problem[]>([]);
  useEffect(() => {
    const fields = [...document.querySelectorAll<HTMLElement>('[data-field]')].map((e) => e.dataset['field'] ?? '');
    setShown(problems.filter(({ place }) => !fields.some((f) => place?.field?.startsWith(f))));
  }, [problems]);
  return <Problems list={shown} />;
}

/** Asks before the window is closed over changes that are not saved. */
function useLeaveWarning(changed: boolean): void {
  useEffect(() => {
    if (!changed) return;
    const warn = (event: BeforeUnloadEvent) => event.preventDefault();
    window.addEventListener('beforeunload', warn);
    return () => window.removeEventListener('beforeunload', warn);
  }, [changed]);
}
