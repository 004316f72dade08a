/** Choosing one of the workshop's records by name: a plain list, or from many a field that finds while one types. */
import { useId, useMemo, useState } from 'preact/hooks';
import type { RecordSummary } from '../../server/api.ts';
import { findNames } from './find-names.ts';

/** Longer lists are searched. */
const MOST_LISTED = 100;
/** So many are offered while one types. */
const OFFERED = 20;

export interface PickerProps {
  readonly label: string;
  readonly list: readonly RecordSummary[];
  readonly value: string;
  readonly onChange: (id: string) => void;
}

export function Picker({ label, list, value, onChange }: PickerProps) {
  if (list.length > MOST_LISTED) return <Finder {...{ label, list, value, onChange }} />;
  return (
    <select class="inline" aria-label={label} value={value} onChange={(event) => onChange(event.currentTarget.value)}>
      {list.map((r) => (
        <option key={r.id} value={r.id}>
          {r.name}
        </option>
      ))}
    </select>
  );
}

function Finder({ label, list, value, onChange }: PickerProps) {
  const id = useId();
  const [typed, setTyped] = useState<string | null>(null);
  const now = useMemo(() => list.find((r) => r.id === value)?.name ?? '', [list, value]);
  const offered = useMemo(() => (typed === null ? [] : findNames(list, typed).slice(0, OFFERED)), [list, typed]);
  const take = (text: string) => {
    const exact = list.find((r) => r.name === text);
    if (exact === undefined) return false;
    setTyped(null);
    if (exact.id !== value) onChange(exact.id);
    return true;
  };
  return (
    <>
      <input
        class="inline"
        type="text"
        list={id}
        aria-label={`${label}: type a part of its name`}
        autocomplete="off"
        value={typed ?? now}
        onFocus={(event) => event.currentTarget.select()}
        onInput={(event) => {
          const text = event.currentTarget.value;
          if (!take(text)) setTyped(text);
        }}
        onKeyDown={(event) => {
          if (event.key === 'Escape') setTyped(null);
          if (event.key === 'Enter' && offered[0]) take(offered[0].name);
        }}
        onBlur={() => setTyped(null)}
      />
      <datalist id={id}>
        {offered.map((r) => (
          <option key={r.id} value={r.name} />
        ))}
      </datalist>
    </>
  );
}
