/** The papers that the market of a batch asks for: what each wants, how sure that is, and what is there. */
import { useEffect, useState } from 'preact/hooks';
import type { AntennaCheck } from '../../../app/bench/antenna-check.ts';
import type { PaperRow } from '../../../app/bench/market-papers.ts';
import { getMarketPapers } from '../../api/bench.ts';
import { Problems } from '../../parts/problems.tsx';
import { format } from '../../state/settings.ts';
import { dayShown } from './days.ts';
import { EvidenceFiles } from './evidence.tsx';
import { useNarrow } from './fold.tsx';
import { useAct } from './parts.tsx';
import { useRead } from './use-read.ts';

const STATES: readonly PaperRow['state'][] = ['missing', 'asked for', 'there', 'not needed'];

export function MarketPapers({ batch, region }: { readonly batch: string; readonly region: string }) {
  const { value, problems } = useRead(`market ${batch}`, () => getMarketPapers(batch));
  return (
    <section id="market" class="market" aria-labelledby="market-h">
      <h2 id="market-h">Papers for the {region} market</h2>
      <Problems list={problems} />
      {value === null ? (
        <p class="said">Reading the list …</p>
      ) : (
        <>
          <p class="said">{saidOf(value.papers)}</p>
          <ul class="market-rows">
            {value.papers.map((row) => (
              <Row key={row.paper} batch={batch} row={row} antenna={row.paper === 'antenna' ? value.antenna : null} />
            ))}
          </ul>
          <ul class="notes quiet">
            {value.notes.map((note) => (
              <li key={note}>{note}</li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

function saidOf(papers: readonly PaperRow[]): string {
  const open = papers.filter((p) => p.asked && (p.state === 'missing' || p.state === 'asked for')).length;
  return open === 0
    ? 'Every paper is there or not needed.'
    : `${open} of ${papers.length} ${open === 1 ? 'is' : 'are'} missing or only asked for.`;
}

/** Kept, broken or not known, of grant and limits together. */
const signOf = ({ withinGrant, withinLimits }: AntennaCheck) =>
  withinGrant === false || withinLimits === false ? '○' : withinGrant === null || withinLimits === null ? '◐' : '●';

/** How far the source of a row was read, in words. */
const SEEN: Readonly<Record<PaperRow['seen'], string>> = {
  read: 'read',
  'partly read': 'read in part',
  'from memory': 'from memory, as of',
};
const hostOf = (address: string) => new URL(address).hostname.replace(/^www\./, '');

function Row({
  batch,
  row,
  antenna,
}: {
  readonly batch: string;
  readonly row: PaperRow;
  readonly antenna: AntennaCheck | null;
}) {
  const [state, setState] = useState(row.state);
  const [evidence, setEvidence] = useState(row.evidence ?? '');
  const { busy, problems, act } = useAct();
  // What others have noted meanwhile is taken over.
  useEffect(() => {
    setState(row.state);
    setEvidence(row.evidence ?? '');
  }, [row.state, row.evidence]);
  const changed = state !== row.state || evidence.trim() !== (row.evidence ?? '');
  const note = () =>
    act(
      { deed: 'note-paper', batch, paper: row.paper, state, ...(evidence.trim() ? { evidence: evidence.trim() } : {}) },
      `note ${row.name.toLowerCase()} as ${state}`,
    );
  const done = row.state === 'there' || row.state === 'not needed';
  // On a phone a row is its name and how it stands, until one asks for it.
  const narrow = useNarrow();
  const [open, setOpen] = useState(false);
  return (
    <li data-paper={row.paper}>
      <h3>
        <span aria-hidden="true">{done ? '●' : row.state === 'asked for' ? '◐' : '○'}</span>{' '}
        {narrow ? (
          <button type="button" class="plain market-open" aria-expanded={open} onClick={() => setOpen(!open)}>
            {row.name}
          </button>
        ) : (
          row.name
        )}
        {narrow && !open && row.asked ? <span class="quiet"> {row.state}</span> : null}
        {row.asked || row.from === undefined ? null : <span class="quiet"> asked from {dayShown(row.from)}</span>}
      </h3>
      {narrow && !open ? null : (
        <>
          <div class="market-wants">
            <p>{row.wants}.</p>
            {antenna === null ? null : (
              <p class="market-antenna">
                <span aria-hidden="true">{signOf(antenna)}</span> {antenna.said}
              </p>
            )}
            <details class="market-source">
              <summary class="market-rule">
                {row.source}; {SEEN[row.seen]} {dayShown(row.asOf)}
              </summary>
              <p>
                Falls on: {row.of}. Shown by: {row.proof}.
              </p>
              {row.doubt === undefined ? null : <p>In doubt: {row.doubt}.</p>}
              {row.where.length === 0 ? null : (
                <p>
                  Read at{' '}
                  {row.where.map((address, i) => (
                    <>
                      {i === 0 ? '' : ', '}
                      <a key={address} href={address} rel="noreferrer noopener" target="_blank">
                        {hostOf(address)}
                      </a>
                    </>
                  ))}
                  .
                </p>
              )}
            </details>
            {row.at === null ? null : (
              <p class="quiet">
                {row.state}, noted by {row.by}, {format.value.moment(row.at)}
              </p>
            )}
          </div>
          <div class="market-proof">
            <form
              class="market-note"
              onSubmit={(event) => {
                event.preventDefault();
                if (!busy) void note();
              }}
            >
              <label class="note-field">
                state{' '}
                <select
                  aria-label={`state of: ${row.name}`}
                  value={state}
                  onChange={(event) => setState(event.currentTarget.value as PaperRow['state'])}
                >
                  {STATES.map((s) => (
                    <option key={s} value={s}>
                      {s}
                    </option>
                  ))}
                </select>
              </label>
              <label class="note-field">
                evidence{' '}
                <input
                  type="text"
                  aria-label={`evidence for: ${row.name}`}
                  autocomplete="off"
                  maxLength={500}
                  placeholder="number or address"
                  value={evidence}
                  onInput={(event) => setEvidence(event.currentTarget.value)}
                />
              </label>
              <button type="submit" class="note-it" disabled={busy || !changed} aria-label={`note it: ${row.name}`}>
                Note it
              </button>
              <Problems list={problems} />
            </form>
            <EvidenceFiles batch={batch} paper={row.paper} name={row.name} files={row.files} />
          </div>
        </>
      )}
    </li>
  );
}
