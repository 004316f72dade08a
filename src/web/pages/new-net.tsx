/** A new net: its name and who is in it; setting and members can be changed afterwards. */
import { useEffect, useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { writeYamlRecord } from '../../formats/yaml-write.ts';
import { Picker } from '../parts/picker.tsx';
import { Problems } from '../parts/problems.tsx';
import { editorOf, go, newOf, start } from '../routes.ts';
import { notify } from '../state/notices.ts';
import { callProblems, kits, loadWorkshop, overview, perches, save } from '../state/workshop.ts';
import { Waiting } from './waiting.tsx';

/** Perches offered at once; more join in the editor. */
const MOST = 200;

const keyOf = (id: string) => id.slice(id.indexOf(':') + 1);

export function NewNetPage() {
  const [name, setName] = useState('');
  const [kit, setKit] = useState<string | undefined>(undefined);
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  useEffect(() => {
    if (overview.value === null) void loadWorkshop();
  }, []);
  if (overview.value === null) return <Waiting what="the workshop" />;
  const chosen = kit ?? kits.value[0]?.id;
  const offered = perches.value.slice(0, MOST);
  const members = offered.filter((p) => !left.has(p.id));
  const lacks = kits.value.length === 0 ? 'kit' : perches.value.length === 0 ? 'perch' : undefined;
  const make = async () => {
    const wrong: Problem[] = [];
    if (name.trim() === '') wrong.push({ code: 'missing', message: 'name is missing: it tells this net from others' });
    if (members.length === 0) wrong.push({ code: 'missing', message: 'a net has at least one member: choose a perch' });
    setProblems(wrong);
    if (wrong.length > 0 || chosen === undefined) return;
    const value = {
      name: name.trim(),
      members: members.map((p) => ({ perch: keyOf(p.id), kit: keyOf(chosen) })),
    };
    try {
      const saved = await save(undefined, { kind: 'net', value: undefined, text: writeYamlRecord(value, '') });
      notify(`${saved.name} was made.`);
      go(editorOf('net', saved.id));
    } catch (error) {
      setProblems(callProblems(error));
    }
  };
  return (
    <div class="page">
      <main>
        <p class="thing">
          <b>New net</b>
          <a href={start}>back to the workshop</a>
        </p>
        <h1>
          Name the net and say which perches are in it; kits and the radio setting can be told one by one afterwards.
        </h1>
        {lacks !== undefined ? (
          <p class="said">
            A net needs a kit and a perch first: <a href={newOf(lacks)}>make a {lacks}</a>.
          </p>
        ) : (
          <form
            class="form single"
            noValidate
            onSubmit={(event) => {
              event.preventDefault();
              void make();
            }}
          >
            <fieldset>
              <legend>The net</legend>
              <div class="field">
                <label for="new-net-name">name</label>
                <span class="entry">
                  <input
                    id="new-net-name"
                    type="text"
                    autocomplete="off"
                    value={name}
                    aria-invalid={problems.length > 0 && name.trim() === ''}
                    onInput={(event) => setName(event.currentTarget.value)}
                  />
                </span>
                <span class="hint">What you call the mesh</span>
              </div>
              <p class="said">
                With <Picker label="kit at each of them" list={kits.value} value={chosen!} onChange={setKit} /> at:
              </p>
              <fieldset class="choice perch-choice">
                <legend class="unseen">Members</legend>
                {offered.map((p) => (
                  <label key={p.id}>
                    <input
                      type="checkbox"
                      checked={!left.has(p.id)}
                      onChange={(event) => {
                        const next = new Set(left);
                        if (event.currentTarget.checked) next.delete(p.id);
                        else next.add(p.id);
                        setLeft(next);
                      }}
                    />{' '}
                    {p.name}
                  </label>
                ))}
              </fieldset>
              {perches.value.length > MOST ? (
                <p class="quiet">The first {MOST} perches are offered; others join in the editor.</p>
              ) : null}
            </fieldset>
            <Problems list={problems} />
            <div class="actions">
              <button type="submit" class="main">
                Make the net
              </button>
            </div>
          </form>
        )}
      </main>
    </div>
  );
}
