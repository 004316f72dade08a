/** The workshop at a glance: what needs attention, perches, kits and nets, each with its winter. */
import { useEffect } from 'preact/hooks';
import type { RecordSummary } from '../../server/api.ts';
import { Picker } from '../parts/picker.tsx';
import { Problems } from '../parts/problems.tsx';
import { newOf } from '../routes.ts';
import { lastPair } from '../state/last-pair.ts';
import { format } from '../state/settings.ts';
import { kits, loadProblems, loadWorkshop, nets, overview, perches } from '../state/workshop.ts';
import { Attention, currentLooks } from './start/attention.tsx';
import { Nets } from './start/nets.tsx';
import { RecordList } from './start/record-list.tsx';
import { Waiting } from './waiting.tsx';

export function StartPage() {
  useEffect(() => void loadWorkshop(), []);
  const now = overview.value;
  if (now === null) return loadProblems.value.length > 0 ? <Unread /> : <Waiting what="the workshop" />;
  const kit = kits.value.find((k) => k.id === lastPair.value.kit) ?? kits.value[0];
  const perch = perches.value.find((p) => p.id === lastPair.value.perch) ?? perches.value[0];
  return (
    <div class="page">
      <p class="thing">
        <b>{now.name}</b>
        <span>{counted(kits.value.length, 'kit')}</span>
        <span>{counted(perches.value.length, 'perch', 'perches')}</span>
        {nets.value.length === 0 ? null : <span>{counted(nets.value.length, 'net')}</span>}
      </p>
      <main>
        <Opening kit={kit} />
        <Attention />
        <section aria-labelledby="perches-h">
          <div class="headed">
            <h2 id="perches-h">Perches</h2>
            <a href={newOf('perch')}>new perch</a>
          </div>
          {kit ? (
            <p class="said">
              The winter of{' '}
              <Picker
                label="Kit whose winter is shown"
                list={kits.value}
                value={kit.id}
                onChange={(id) => {
                  lastPair.value = { ...lastPair.value, kit: id };
                }}
              />{' '}
              at each of them.
            </p>
          ) : null}
          <RecordList kind="perch" list={perches.value} pairOf={(p) => (kit ? [kit, p] : null)} />
        </section>
        <section aria-labelledby="kits-h">
          <div class="headed">
            <h2 id="kits-h">Kits</h2>
            <a href={newOf('kit')}>new kit</a>
          </div>
          {perch ? (
            <p class="said">
              The winter of each at{' '}
              <Picker
                label="Perch whose winter is shown"
                list={perches.value}
                value={perch.id}
                onChange={(id) => {
                  lastPair.value = { ...lastPair.value, perch: id };
                }}
              />
              .
            </p>
          ) : null}
          <RecordList kind="kit" list={kits.value} pairOf={(k) => (perch ? [k, perch] : null)} />
        </section>
        <Nets />
      </main>
    </div>
  );
}

function Unread() {
  return (
    <div class="page">
      <main>
        <h1>The workshop cannot be read.</h1>
        <Problems list={loadProblems.value} />
        <div class="actions">
          <button type="button" class="main" onClick={() => void loadWorkshop()}>
            Try again
          </button>
        </div>
      </main>
    </div>
  );
}

const number = (n: number) => format.value.figure(n, 9);
const counted = (n: number, one: string, many = `${one}s`) => `${number(n)} ${n === 1 ? one : many}`;

/** The sentence that answers: what stands, and at how many of the perches the kit in hand holds. */
function Opening({ kit }: { readonly kit: RecordSummary | undefined }) {
  if (kit === undefined)
    return (
      <h1>The workshop is empty: begin with a kit, the design of a node, and a perch, the place where it stands.</h1>
    );
  const all = perches.value.length;
  if (all === 0) return <h1>There is a kit but no place for it yet: tell of a perch.</h1>;
  const known = currentLooks().filter((look) => look.kit === kit.id);
  const up = known.filter((look) => look.state === 'stays up').length;
  const perchWord = all === 1 ? 'perch' : 'perches';
  return (
    <h1 class="steady" aria-live="polite">
      {known.length === 0
        ? `${kit.name}: looking at its winters …`
        : known.length < all
          ? `${kit.name} stays up at ${number(up)} of ${number(known.length)} ${perchWord} looked at; there are ${number(all)}.`
          : `${kit.name} stays up at ${number(up)} of ${number(all)} ${perchWord}.`}
    </h1>
  );
}
