/** Kits or perches, each with its winter beside it. Long lists are searched, sorted, and drawn only where one looks. */
import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { FormKind } from '../../../server/api.ts';
import { findNames, inOrder, type Order } from '../../parts/find-names.ts';
import { newOf } from '../../routes.ts';
import type { Pair } from '../../state/pairs.ts';
import { format } from '../../state/settings.ts';
import { type FormRecord, RecordRow } from './record-row.tsx';

/** Longer lists have a field to find in. */
const SEARCHED = 12;
/** Longer ones scroll in a window of their own. */
const WHOLE = 40;
/** Rows drawn above and below what is seen. */
const SPARE = 6;
/** Height of a row, px; those of the style sheet. */
const ROW_px = { wide: 48, narrow: 88 } as const;
const NARROW = '(max-width: 1019px)';

export function RecordList(props: {
  readonly list: readonly FormRecord[];
  readonly pairOf: (record: FormRecord) => Pair | null;
  readonly kind: FormKind;
}) {
  const { list, pairOf, kind } = props;
  const [wanted, setWanted] = useState('');
  const [order, setOrder] = useState<Order>('name');
  const sorted = useMemo(() => inOrder(list, order, navigator.language), [list, order]);
  const found = useMemo(() => findNames(sorted, wanted), [sorted, wanted]);
  if (list.length === 0)
    return (
      <p class="said">
        None yet: <a href={newOf(kind)}>make the first {kind}</a>.
      </p>
    );
  const rows = { rows: found, pairOf, label: kind === 'kit' ? 'Kits' : 'Perches' };
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
          </label>
          <label>
            by{' '}
            <select value={order} onChange={(event) => setOrder(event.currentTarget.value as Order)}>
              <option value="name">name</option>
              <option value="saved">last saved</option>
            </select>
          </label>
          <span class="quiet" role="status">
            {format.value.figure(found.length, 9)} of {format.value.figure(list.length, 9)}
          </span>
        </p>
      )}
      {found.length === 0 ? (
        <p class="said">No name holds “{wanted.trim()}”.</p>
      ) : found.length <= WHOLE ? (
        <ul class="records">
          {found.map((record) => (
            <RecordRow key={record.id} record={record} pair={pairOf(record)} />
          ))}
        </ul>
      ) : (
        <Windowed key={`${order} ${wanted}`} {...rows} />
      )}
    </>
  );
}

function useRowHeight(): number {
  const [narrow, setNarrow] = useState(() => matchMedia(NARROW).matches);
  useLayoutEffect(() => {
    const media = matchMedia(NARROW);
    const read = () => setNarrow(media.matches);
    media.addEventListener('change', read);
    return () => media.removeEventListener('change', read);
  }, []);
  return narrow ? ROW_px.narrow : ROW_px.wide;
}

function Windowed(props: {
  readonly rows: readonly FormRecord[];
  readonly pairOf: (record: FormRecord) => Pair | null;
  readonly label: string;
}) {
  const { rows, pairOf, label } = props;
  const ref = useRef<HTMLElement>(null);
  const row_px = useRowHeight();
  const [from, setFrom] = useState(0);
  const [count, setCount] = useState(12);
  const read = () => {
    const node = ref.current;
    if (node === null) return;
    setFrom(Math.max(0, Math.floor(node.scrollTop / row_px) - SPARE));
    setCount(Math.ceil(node.clientHeight / row_px) + 2 * SPARE);
  };
  useLayoutEffect(() => {
    read();
    const observer = new ResizeObserver(read);
    observer.observe(ref.current!);
    return () => observer.disconnect();
  }, [row_px]);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section class="windowed" aria-label={label} tabIndex={0} ref={ref} onScroll={read}>
      <ul class="records" style={{ height: `${rows.length * row_px}px` }}>
        {rows.slice(from, from + count).map((record, i) => (
          <RecordRow
            key={record.id}
            record={record}
            pair={pairOf(record)}
            at={{ top_px: (from + i) * row_px, place: from + i + 1, of: rows.length }}
          />
        ))}
      </ul>
    </section>
  );
}
