/** The workshop at a glance: kits, perches, each with its winter, and what needs attention. */
import { useComputed } from '@preact/signals';
import { useEffect, useRef, useState } from 'preact/hooks';
import { formatPosition, stripDescription } from '../../report/index.ts';
import type { FormKind, RecordSummary } from '../../server/api.ts';
import { Problems } from '../parts/problems.tsx';
import { StateWord } from '../parts/state-sign.tsx';
import { Strip } from '../parts/strip.tsx';
import { editorOf, energyOf, newOf } from '../routes.ts';
import { lastPair } from '../state/last-pair.ts';
import { askLook, type Look, looks, pairKey } from '../state/pairs.ts';
import { format } from '../state/settings.ts';
import { kits, loadProblems, loadWorkshop, overview, perches } from '../state/workshop.ts';
import { Waiting } from './waiting.tsx';

/** Rows shown at once; the rest come on request. */
const ROWS = 60;
/** Longer lists have a field to find in. */
const SEARCHED = 12;

export function StartPage() {
  useEffect(() => void loadWorkshop(), []);
  const now = overview.value;
  if (now === null)
    return loadProblems.value.length > 0 ? (
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
    ) : (
      <Waiting what="the workshop" />
    );
  const kit = kits.value.find((k) => k.id === lastPair.value.kit) ?? kits.value[0];
  const perch = perches.value.find((p) => p.id === lastPair.value.perch) ?? perches.value[0];
  return (
    <div class="page">
      <p class="thing">
        <b>{now.name}</b>
        <span>{counted(kits.value.length, 'kit')}</span>
        <span>{counted(perches.value.length, 'perch', 'perches')}</span>
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
              The winter of <KitPicker kit={kit} /> at each of them.
            </p>
          ) : null}
          <RecordTable list={perches.value} pairOf={(p) => (kit ? [kit, p] : null)} empty="perch" />
        </section>
        <section aria-labelledby="kits-h">
          <div class="headed">
            <h2 id="kits-h">Kits</h2>
            <a href={newOf('kit')}>new kit</a>
          </div>
          {perch ? (
            <p class="said">
              The winter of each at <PerchPicker perch={perch} />.
            </p>
          ) : null}
          <RecordTable list={kits.value} pairOf={(k) => (perch ? [k, perch] : null)} empty="kit" />
        </section>
      </main>
    </div>
  );
}

const counted = (n: number, one: string, many = `${one}s`) => `${format.value.figure(n, 9)} ${n === 1 ? one : many}`;

function KitPicker({ kit }: { readonly kit: RecordSummary }) {
  return (
    <select
      class="inline"
      aria-label="Kit whose winter is shown"
      value={kit.id}
      onChange={(e) => {
        lastPair.value = { ...lastPair.value, kit: e.currentTarget.value };
      }}
    >
      {kits.value.map((k) => (
        <option key={k.id} value={k.id}>
          {k.name}
        </option>
      ))}
    </select>
  );
}

function PerchPicker({ perch }: { readonly perch: RecordSummary }) {
  return (
    <select
      class="inline"
      aria-label="Perch whose winter is shown"
      value={perch.id}
      onChange={(e) => {
        lastPair.value = { ...lastPair.value, perch: e.currentTarget.value };
      }}
    >
      {perches.value.map((p) => (
        <option key={p.id} value={p.id}>
          {p.name}
        </option>
      ))}
    </select>
  );
}

const keyOf = ([kit, perch]: readonly [RecordSummary, RecordSummary]) =>
  pairKey(kit.id, kit.revision, perch.id, perch.revision);

/** The sentence that answers: what stands, and how many of the perches hold with the kit in hand. */
function Opening({ kit }: { readonly kit: RecordSummary | undefined }) {
  if (kit === undefined)
    return (
      <h1>The workshop is empty: begin with a kit, the design of a node, and a perch, the place where it stands.</h1>
    );
  if (perches.value.length === 0) return <h1>There is a kit but no place for it yet: tell of a perch.</h1>;
  const known = perches.value
    .map((p) => looks.value.get(keyOf([kit, p])))
    .filter((l): l is NonNullable<Look> => l !== null && l !== undefined);
  const up = known.filter((l) => l.state === 'stays up').length;
  return (
    <h1 class="steady" aria-live="polite">
      {known.length === 0
        ? `${kit.name}: looking at its winters …`
        : `${kit.name} stays up at ${up} of ${format.value.figure(perches.value.length, 9)} ${perches.value.length === 1 ? 'perch' : 'perches'}${known.length < perches.value.length ? ` (${known.length} looked at)` : ''}.`}
    </h1>
  );
}

function Attention() {
  const list = useComputed(() => {
    const told = (overview.value?.attention ?? []).map((a) => ({ ...a }));
    return told.slice(0, 8);
  });
  const here = new Map((overview.value?.records ?? []).map((r) => [r.id, r]));
  const found = kits.value.flatMap((kit) =>
    perches.value.flatMap((perch) => {
      const look = looks.value.get(keyOf([kit, perch]));
      return look && look.state !== 'stays up' ? [{ kit, perch, look }] : [];
    }),
  );
  const shownAlready = new Set(list.value.map((a) => `${a.kit} ${a.perch}`));
  const more = found.filter(({ kit, perch }) => !shownAlready.has(`${kit.id} ${perch.id}`)).slice(0, 8);
  // What the first looks below have answered needs no asking any more.
  const open = list.value.filter((a) => (a.kit && a.perch) || !looked(a.kit ?? a.perch));
  return (
    <section aria-labelledby="attention-h">
      <h2 id="attention-h">What wants a look</h2>
      {open.length + more.length === 0 ? (
        <p class="said">Nothing at the moment.</p>
      ) : (
        <ul class="attention">
          {open.map((a) => (
            <li key={a.text}>
              {a.text}{' '}
              <a href={energyOf(a.kit, a.perch)}>
                look
                <span class="unseen"> at {[a.kit, a.perch].map((id) => here.get(id ?? '')?.name ?? '').join(' ')}</span>
              </a>
            </li>
          ))}
          {more.map(({ kit, perch, look }) => (
            <li key={`${kit.id} ${perch.id}`}>
              {look.verdict}{' '}
              <a href={energyOf(kit.id, perch.id)}>
                look
                <span class="unseen">
                  {' '}
                  at {kit.name} at {perch.name}
                </span>
              </a>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function looked(id: string | undefined): boolean {
  return id !== undefined && [...looks.value].some(([key, look]) => look && key.includes(`${id}@`));
}

/** Every word that is asked for stands in the name. */
function matches(name: string, wanted: string): boolean {
  const plain = name.toLocaleLowerCase();
  return wanted
    .toLocaleLowerCase()
    .split(/\s+/)
    .every((word) => plain.includes(word));
}

function RecordTable(props: {
  readonly list: readonly (RecordSummary & { readonly kind: FormKind })[];
  readonly pairOf: (record: RecordSummary) => readonly [RecordSummary, RecordSummary] | null;
  readonly empty: 'kit' | 'perch';
}) {
  const { list, pairOf, empty } = props;
  const [wanted, setWanted] = useState('');
  const [most, setMost] = useState(ROWS);
  if (list.length === 0)
    return (
      <p class="said">
        None yet: <a href={newOf(empty)}>make the first {empty}</a>.
      </p>
    );
  const found = wanted.trim() === '' ? list : list.filter((r) => matches(r.name, wanted));
  const rows = found.slice(0, most);
  return (
    <>
      {list.length <= SEARCHED ? null : (
        <p class="find">
          <label>
            find{' '}
            <input
              type="text"
              autocomplete="off"
              value={wanted}
              onInput={(event) => setWanted(event.currentTarget.value)}
            />
          </label>{' '}
          <span class="quiet" role="status">
            {format.value.figure(found.length, 9)} of {format.value.figure(list.length, 9)}
          </span>
        </p>
      )}
      <ul class="records">
        {rows.map((record) => (
          <RecordRow key={record.id} record={record} pair={pairOf(record)} />
        ))}
      </ul>
      {found.length > rows.length ? (
        <p>
          <button type="button" class="plain" onClick={() => setMost(most + ROWS)}>
            {format.value.figure(Math.min(ROWS, found.length - rows.length), 9)} more
          </button>{' '}
          <span class="quiet">of {format.value.figure(found.length - rows.length, 9)} that follow</span>
        </p>
      ) : null}
    </>
  );
}

function RecordRow({
  record,
  pair,
}: {
  readonly record: RecordSummary & { readonly kind: FormKind };
  readonly pair: readonly [RecordSummary, RecordSummary] | null;
}) {
  const ref = useRef<HTMLLIElement>(null);
  const key = pair ? keyOf(pair) : '';
  useEffect(() => {
    const node = ref.current;
    if (pair === null || node === null) return;
    // Only what is seen is computed.
    const observer = new IntersectionObserver((entries) => {
      if (!entries.some((e) => e.isIntersecting)) return;
      observer.disconnect();
      void askLook(key, pair[0].id, pair[1].id);
    });
    observer.observe(node);
    return () => observer.disconnect();
  }, [key]);
  const look = pair ? looks.value.get(key) : undefined;
  const strip = look?.strip ?? record.strip;
  const name = pair ? `${pair[0].name} at ${pair[1].name}` : record.name;
  return (
    <li ref={ref} class="record">
      <a class="name" href={pair ? energyOf(pair[0].id, pair[1].id) : editorOf(record.kind, record.id)}>
        {record.name}
      </a>
      <span class="strip-place">
        {strip ? (
          <Strip id={`s-${record.id}`} strip={strip} name={name} width={400} height={24} />
        ) : (
          <span
            class="strip-empty"
            role="img"
            aria-label={look === null ? `${name} is being computed` : `${name}: not computed`}
          />
        )}
      </span>
      <span class="state">{look ? <StateWord state={look.state} /> : ''}</span>
      <span class="quiet place">{record.place ? formatPosition(record.place) : `revision ${record.revision}`}</span>
      <a class="edit" href={editorOf(record.kind, record.id)} aria-label={`edit ${record.name}`}>
        edit
      </a>
      {strip ? <span class="unseen">{stripDescription(strip)}</span> : null}
    </li>
  );
}
