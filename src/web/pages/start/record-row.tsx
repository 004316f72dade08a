/** One row of a list: name, year strip, state, where; the winter is computed when the row is seen. */
import { useEffect, useRef } from 'preact/hooks';
import { formatPosition } from '../../../report/index.ts';
import type { FormKind, RecordSummary } from '../../../server/api.ts';
import { StateWord } from '../../parts/state-sign.tsx';
import { Strip } from '../../parts/strip.tsx';
import { editorOf, energyOf, reachOf } from '../../routes.ts';
import { askLook, dropLook, looks, type Pair, pairKey } from '../../state/pairs.ts';
import { figures, format } from '../../state/settings.ts';

export type FormRecord = RecordSummary & { readonly kind: FormKind };

/** A row that only flies by while one scrolls is not computed. */
const REST_ms = 120;

/** Place in a long list of which only a part is drawn. */
export interface PlaceInList {
  readonly top_px: number;
  readonly place: number;
  readonly of: number;
}

export function RecordRow(props: {
  readonly record: FormRecord;
  readonly pair: Pair | null;
  readonly at?: PlaceInList;
}) {
  const { record, pair, at } = props;
  const ref = useRef<HTMLLIElement>(null);
  const key = pair ? pairKey(pair) : '';
  useLook(ref, pair, key);
  const look = pair ? looks.value.get(key) : undefined;
  const strip = look?.strip ?? record.strip;
  const name = pair ? `${pair[0].name} at ${pair[1].name}` : record.name;
  return (
    <li
      ref={ref}
      class="record"
      {...(at ? { style: { top: `${at.top_px}px` }, 'aria-posinset': at.place, 'aria-setsize': at.of } : {})}
    >
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
      <span class="quiet place">
        {record.place
          ? formatPosition(record.place, 2, figures.value)
          : `revision ${format.value.figure(record.revision, 9)}`}
      </span>
      <span class="edit">
        {pair ? (
          <a href={reachOf(pair[0].id, pair[1].id)} aria-label={`reach of ${name}`}>
            reach
          </a>
        ) : null}
        <a href={editorOf(record.kind, record.id)} aria-label={`edit ${record.name}`}>
          edit
        </a>
      </span>
    </li>
  );
}

/** Asks for the look once the element has been in sight for a moment; takes the question back when it leaves. */
export function useLook(ref: { readonly current: HTMLElement | null }, pair: Pair | null, key: string): void {
  useEffect(() => {
    const node = ref.current;
    if (pair === null || node === null) return;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const observer = new IntersectionObserver((entries) => {
      clearTimeout(timer);
      if (entries.at(-1)!.isIntersecting) timer = setTimeout(() => askLook(pair), REST_ms);
      else dropLook(pair);
    });
    observer.observe(node);
    return () => {
      clearTimeout(timer);
      observer.disconnect();
      dropLook(pair);
    };
  }, [key]);
}
