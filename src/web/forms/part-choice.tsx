import { useId } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import type { Part } from '../../records/index.ts';
import { Problems } from '../parts/problems.tsx';

/** Which generic part fills the fields of a group, or none. */
export function PartChoice(props: {
  readonly list: readonly Part[];
  readonly part: unknown;
  readonly label: string;
  readonly problems: readonly Problem[];
  readonly onChange: (id: string | undefined) => void;
}) {
  const { list, part, label, problems, onChange } = props;
  const id = useId();
  const now = typeof part === 'string' ? part : '';
  const found = list.find((p) => p.id === now);
  return (
    <div class={`field part${problems.length > 0 ? ' wrong' : ''}`}>
      <label for={id}>{label}</label>
      <span class="entry">
        <select
          id={id}
          value={now}
          aria-describedby={`${id}-d`}
          onChange={(event) => onChange(event.currentTarget.value || undefined)}
        >
          <option value="">none: own figures below</option>
          {now !== '' && found === undefined ? <option value={now}>{now}</option> : null}
          {list.map((p) => (
            <option key={p.id} value={p.id}>
              {p.title}
            </option>
          ))}
        </select>
      </span>
      <span class="hint" id={`${id}-d`}>
        {found === undefined
          ? 'A generic part fills what is left empty below.'
          : `${found.source}. Fields below override it.`}
      </span>
      <div class="at-field">
        <Problems list={problems} />
      </div>
    </div>
  );
}
