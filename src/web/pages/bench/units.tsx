/** The units of a batch: filtered by state and by letters, drawn only where one looks. */
import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { BatchPage } from '../../../app/bench/front.ts';
import type { UnitRow } from '../../../app/bench/looks.ts';
import { UNIT_STANDINGS, type UnitStanding } from '../../../report/index.ts';
import { csvText, fileName } from '../../parts/csv.ts';
import { saveText } from '../../parts/download.ts';
import { unitOf } from '../../routes.ts';
import { Standing } from './parts.tsx';
import { UnitStrip } from './unit-strip.tsx';

/** Height of a row, px: that of the style sheet. */
const ROW_px = { wide: 44, narrow: 100 } as const;
const NARROW = '(max-width: 760px)';
const SPARE = 6;

type Names = ReadonlyMap<string, string>;

export function Units({ page: { look } }: { readonly page: BatchPage }) {
  const [standing, setStanding] = useState<UnitStanding | 'all'>('all');
  const [letters, setLetters] = useState('');
  const rows = useMemo(() => {
    const wanted = letters.trim().toLowerCase();
    return look.units.filter(
      (u) =>
        (standing === 'all' || u.standing === standing) &&
        (wanted === '' || u.serial.toLowerCase().includes(wanted) || (u.order ?? '').includes(wanted)),
    );
  }, [look, standing, letters]);
  const steps: Names = useMemo(() => new Map(look.steps.map((s) => [s.key, s.name])), [look]);
  const gates: Names = useMemo(() => new Map(look.gates.map((g) => [g.key, g.name])), [look]);
  const save = () =>
    saveText(
      fileName(`${look.name} units`, 'csv'),
      csvText([
        [
          'serial',
          'standing',
          'steps_done',
          'next_step',
          'open_gates',
          'failed_gates',
          'overridden',
          'order',
          'reworks',
        ],
        ...rows.map((u) => [
          ...[u.serial, u.standing, u.stepsDone, u.nextStep, u.openGates.join(' '), u.failedGates.join(' ')],
          ...[u.overridden.join(' '), u.order, u.reworks],
        ]),
      ]),
      'text/csv',
    );
  return (
    <section aria-labelledby="units-h">
      <h2 id="units-h">Units</h2>
      <p class="find">
        <label>
          state{' '}
          <select value={standing} onChange={(event) => setStanding(event.currentTarget.value as UnitStanding | 'all')}>
            <option value="all">all, {look.units.length}</option>
            {UNIT_STANDINGS.filter((s) => look.counts[s] > 0).map((s) => (
              <option key={s} value={s}>
                {s}, {look.counts[s]}
              </option>
            ))}
          </select>
        </label>
        <label>
          holds{' '}
          <input
            type="text"
            autocomplete="off"
            placeholder="serial or order"
            value={letters}
            onInput={(event) => setLetters(event.currentTarget.value)}
          />
        </label>
        <span class="quiet" role="status">
          {rows.length} of {look.units.length}
        </span>
        <button type="button" class="plain" onClick={save}>
          save as CSV
        </button>
      </p>
      {rows.length === 0 ? <p class="said">No unit is like that.</p> : <Rows {...{ rows, steps, gates }} />}
    </section>
  );
}

function Rows({
  rows,
  steps,
  gates,
}: {
  readonly rows: readonly UnitRow[];
  readonly steps: Names;
  readonly gates: Names;
}) {
  const ref = useRef<HTMLElement>(null);
  const [narrow, setNarrow] = useState(() => matchMedia(NARROW).matches);
  const [from, setFrom] = useState(0);
  const [count, setCount] = useState(14);
  const row_px = narrow ? ROW_px.narrow : ROW_px.wide;
  const read = () => {
    const node = ref.current;
    if (node === null) return;
    setFrom(Math.max(0, Math.floor(node.scrollTop / row_px) - SPARE));
    setCount(Math.ceil(node.clientHeight / row_px) + 2 * SPARE);
  };
  useLayoutEffect(() => {
    read();
    const media = matchMedia(NARROW);
    const turn = () => setNarrow(media.matches);
    media.addEventListener('change', turn);
    const observer = new ResizeObserver(read);
    observer.observe(ref.current!);
    return () => {
      media.removeEventListener('change', turn);
      observer.disconnect();
    };
  }, [row_px, rows]);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section class="unit-rows" aria-label="Units" tabIndex={0} ref={ref} onScroll={read}>
      <ul style={{ height: `${rows.length * row_px}px` }}>
        {rows.slice(from, from + count).map((u, i) => (
          <li
            key={u.serial}
            style={{ top: `${(from + i) * row_px}px` }}
            aria-setsize={rows.length}
            aria-posinset={from + i + 1}
          >
            <a href={unitOf(u.serial)}>{u.serial}</a>
            <Standing standing={u.standing} />
            <UnitStrip serial={u.serial} />
            <span class="next">{whatNext(u, steps, gates)}</span>
            <span class="order quiet">{u.order === null ? '' : `for ${u.order}`}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function whatNext(u: UnitRow, steps: Names, gates: Names): string {
  const names = (keys: readonly string[]) => keys.map((key) => gates.get(key) ?? key).join(', ');
  const again = u.reworks === 0 ? '' : `; reworked ${u.reworks === 1 ? 'once' : `${u.reworks} times`}`;
  const past = u.overridden.length === 0 ? '' : `; overridden: ${names(u.overridden)}`;
  const what =
    u.failedGates.length > 0
      ? `failed at ${names(u.failedGates)}`
      : u.standing === 'ready' || u.standing === 'shipped' || u.standing === 'scrapped'
        ? ''
        : u.nextStep !== null
          ? `next: ${steps.get(u.nextStep) ?? u.nextStep}`
          : u.openGates.length > 0
            ? `open: ${names(u.openGates)}`
            : '';
  return `${what}${past}${again}`.replace(/^; /, '');
}
