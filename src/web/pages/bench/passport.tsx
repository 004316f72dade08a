/** What the page of a unit shows that its maker hosts, and the page as a file. */
import { useRef, useState } from 'preact/hooks';
import { PASSPORT_PARTS, type PassportPart } from '../../../records/bench/index.ts';
import { getPassport } from '../../api/bench-files.ts';
import { saveText } from '../../parts/download.ts';
import { Problems } from '../../parts/problems.tsx';
import { callProblems } from '../../state/workshop.ts';
import { useAct } from './parts.tsx';

const NAMES: Readonly<Record<PassportPart, string>> = {
  kit: 'kit and region',
  made: 'maker and batch',
  gates: 'gates',
  lots: 'parts and lots',
  papers: 'papers of the market',
  care: 'care',
  shipped: 'day of shipping',
};

export function UnitPassport(props: { readonly serial: string; readonly shows: readonly string[] }) {
  const { serial, shows } = props;
  const [chosen, setChosen] = useState<ReadonlySet<string>>(
    () => new Set(shows.length === 0 ? ['kit', 'gates', 'care'] : shows),
  );
  const [wrong, setWrong] = useState<ReturnType<typeof callProblems>>([]);
  const [waits, setWaits] = useState(false);
  const [leads, setLeads] = useState<string | null>(null);
  const how = useRef('');
  const { busy, problems, act } = useAct((done) => {
    how.current = done.how;
    setWaits(done.how === 'waits');
  });
  const show = PASSPORT_PARTS.filter((part) => chosen.has(part));
  const save = async () => {
    setWrong([]);
    await act({ deed: 'publish-passport', unit: serial, show }, `passport of ${serial}`);
    if (how.current !== 'kept') return;
    try {
      const { page, address } = await getPassport(serial);
      setLeads(address);
      saveText(`passport-${serial.toLowerCase()}.html`, page, 'text/html');
    } catch (error) {
      setWrong(callProblems(error));
    }
  };
  return (
    <section aria-labelledby="passport-h">
      <h2 id="passport-h">Passport</h2>
      <p class="said">
        A page to host where the code on the label leads. It shows what is chosen here; a key, a customer or a person is
        never on it.
      </p>
      <fieldset class="choice passport-parts">
        <legend class="unseen">What it shows</legend>
        {PASSPORT_PARTS.map((part) => (
          <label key={part}>
            <input
              type="checkbox"
              checked={chosen.has(part)}
              onChange={(event) => {
                const next = new Set(chosen);
                if (event.currentTarget.checked) next.add(part);
                else next.delete(part);
                setChosen(next);
              }}
            />{' '}
            {NAMES[part]}
          </label>
        ))}
      </fieldset>
      <p>
        <button type="button" disabled={busy || show.length === 0} onClick={() => void save()}>
          Save the passport
        </button>
      </p>
      {leads === null ? null : (
        <p role="status">
          Saved. Host it where the code on its label leads: <code>{leads}</code>
        </p>
      )}
      {waits ? <p role="status">The choice waits to be sent; save the page once the workshop answers.</p> : null}
      <Problems list={[...wrong, ...problems]} />
    </section>
  );
}
