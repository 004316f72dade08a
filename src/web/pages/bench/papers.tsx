/** Labels, certificates, the card, carton marks and packing lists as PDF. */
import { useState } from 'preact/hooks';
import type { OrderRow } from '../../../app/bench/looks.ts';
import type { Problem } from '../../../core/units/index.ts';
import { getPaper } from '../../api/papers.ts';
import { usualPaper } from '../../api/report.ts';
import { saveFile } from '../../parts/download.ts';
import { FileDrop } from '../../parts/file-drop.tsx';
import { Problems } from '../../parts/problems.tsx';
import { chooseLayout, layoutInHand, layoutName, layouts, takeLayout } from '../../state/label-layouts.ts';
import { callProblems } from '../../state/workshop.ts';

/** Setting papers one after the other, with what is to be known of the last one. */
function usePapers() {
  const [doing, setDoing] = useState('');
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [notes, setNotes] = useState<readonly string[]>([]);
  const [size, setSize] = useState(() => usualPaper(navigator.language));
  const save = async (what: string, body: Readonly<Record<string, unknown>>) => {
    setDoing(what);
    setProblems([]);
    setNotes([]);
    try {
      const paper = await getPaper({ size, ...body });
      saveFile(paper.name, paper.file);
      setNotes(paper.notes);
    } catch (error) {
      setProblems(callProblems(error));
    } finally {
      setDoing('');
    }
  };
  return { doing, problems, notes, size, setSize, setProblems, save };
}
type Setting = ReturnType<typeof usePapers>;

function Outcome({ set: { doing, notes, problems } }: { readonly set: Setting }) {
  return (
    <>
      {doing === '' ? null : (
        <p class="progress" role="status">
          {doing} …
        </p>
      )}
      <Problems list={problems} />
      {notes.length === 0 ? null : (
        <div role="status">
          <p class="quiet">Before it is printed:</p>
          <ul class="notes">
            {notes.map((note) => (
              <li key={note}>{note}</li>
            ))}
          </ul>
        </div>
      )}
    </>
  );
}

function Labels({ things, set }: { readonly things: readonly string[]; readonly set: Setting }) {
  const layout = layoutInHand.value;
  const take = async (files: readonly File[]) => {
    const [file] = files;
    if (file === undefined) return;
    try {
      takeLayout(await file.text(), file.name);
      set.setProblems([]);
    } catch (error) {
      set.setProblems(callProblems(error));
    }
  };
  const [start, setStart] = useState('1');
  const each = layout.kind === 'sheet' ? layout.rows * layout.columns : 1;
  const startAt = Math.min(each, Math.max(1, Math.round(Number(start)) || 1));
  return (
    <>
      <p class="find">
        <label>
          labels{' '}
          <select value={layoutName(layout)} onChange={(event) => chooseLayout(event.currentTarget.value)}>
            {layouts.value.map((one) => (
              <option key={layoutName(one)} value={layoutName(one)}>
                {layoutName(one)}
              </option>
            ))}
          </select>
        </label>
        {layout.kind === 'sheet' ? (
          <label class="short">
            first place{' '}
            <input
              type="text"
              inputMode="numeric"
              autocomplete="off"
              value={start}
              onInput={(event) => setStart(event.currentTarget.value)}
            />
          </label>
        ) : null}
        <button
          type="button"
          disabled={set.doing !== ''}
          onClick={() => void set.save('Labels are being set', { paper: 'labels', things, layout, startAt })}
        >
          Save the labels
        </button>
        <button
          type="button"
          class="plain"
          disabled={set.doing !== ''}
          onClick={() =>
            void set.save('A trial is being set', { paper: 'labels', things, layout, startAt, outline: true })
          }
        >
          with edges, for a trial on plain paper
        </button>
      </p>
      <details>
        <summary>Labels of another size</summary>
        <FileDrop label="Layout (YAML), as the examples show" accept=".yaml,.yml,.json" onFiles={take} />
      </details>
    </>
  );
}

function Size({ set }: { readonly set: Setting }) {
  return (
    <select
      class="inline"
      aria-label="paper"
      value={set.size}
      onChange={(event) => set.setSize(event.currentTarget.value as 'A4' | 'letter')}
    >
      <option value="A4">A4</option>
      <option value="letter">Letter</option>
    </select>
  );
}

/** Papers of one unit. */
export function UnitPapers({ serial }: { readonly serial: string }) {
  const set = usePapers();
  const things = [serial];
  return (
    <section class="papers" aria-labelledby="papers-h">
      <h2 id="papers-h">Papers</h2>
      <div class="actions">
        <button
          type="button"
          disabled={set.doing !== ''}
          onClick={() => void set.save('The certificate is being set', { paper: 'certificate', things })}
        >
          Save the test certificate
        </button>
        <Size set={set} />
      </div>
      <Labels things={things} set={set} />
      <Outcome set={set} />
    </section>
  );
}

/** Papers of a batch, its plan, and the orders. */
export function BatchPapers(props: {
  readonly batch: string;
  readonly plan: string;
  readonly region: string;
  readonly orders: readonly OrderRow[];
}) {
  const { batch, plan, region } = props;
  const set = usePapers();
  const [units, setUnits] = useState('1');
  const orders = props.orders.filter((o) => o.reserved.length + o.shipped.length > 0 && !o.cancelled);
  const [order, setOrder] = useState('');
  const packed = orders.find((o) => o.order === order) ?? orders[0];
  const busy = set.doing !== '';
  return (
    <section class="papers" aria-labelledby="papers-h">
      <h2 id="papers-h">Papers</h2>
      <div class="actions">
        <button
          type="button"
          disabled={busy}
          onClick={() => void set.save('Certificates are being set', { paper: 'certificate', things: [batch] })}
        >
          Save all test certificates
        </button>
        <button
          type="button"
          disabled={busy}
          onClick={() => void set.save('The card is being set', { paper: 'card', plan, region })}
        >
          Save the quick-start card
        </button>
        <Size set={set} />
      </div>
      <Labels things={[batch]} set={set} />
      <p class="find">
        <label class="short">
          units in a carton{' '}
          <input
            type="text"
            inputMode="numeric"
            autocomplete="off"
            value={units}
            onInput={(event) => setUnits(event.currentTarget.value)}
          />
        </label>
        <button
          type="button"
          disabled={busy}
          onClick={() => void set.save('Carton marks are being set', { paper: 'carton', plan, units: Number(units) })}
        >
          Save carton marks
        </button>
      </p>
      {packed === undefined ? null : (
        <p class="find">
          <label>
            parcel for{' '}
            <select value={packed.order} onChange={(event) => setOrder(event.currentTarget.value)}>
              {orders.map((o) => (
                <option key={o.order} value={o.order}>
                  {o.customer}, {o.order}
                </option>
              ))}
            </select>
          </label>
          <button
            type="button"
            disabled={busy}
            onClick={() => void set.save('The packing list is being set', { paper: 'packing', order: packed.order })}
          >
            Save the packing list
          </button>
        </p>
      )}
      <Outcome set={set} />
    </section>
  );
}
