/** The states of a composed load, a row each: what draws how much for which share of the time. */
import { useMemo } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { LOAD_STATES } from '../../records/index.ts';
import { at, isMapping } from '../../records/loose.ts';
import { Problems, problemsAt } from '../parts/problems.tsx';
import { format } from '../state/settings.ts';
import { withField } from './edit-value.ts';
import { BareInput } from './field-input.tsx';
import { ListActs, useListFocus } from './list-acts.tsx';
import type { fieldReader } from './schema-fields.ts';

const NAME = 'kit.load.parts';
/** As the schema has it. */
const MOST = 50;
const COLUMNS = [
  { key: 'name', head: 'state' },
  { key: 'part', head: 'generic part' },
  { key: 'current_mA', head: 'current, mA', figures: true },
  { key: 'duty', head: 'on, share', figures: true },
  { key: 'seconds_per_h', head: 'or s an hour', figures: true },
] as const;

export function LoadParts(props: {
  readonly value: unknown;
  /** The load with generic parts filled in, where it is valid. */
  readonly whole: unknown;
  readonly problems: readonly Problem[];
  readonly reader: ReturnType<typeof fieldReader>;
  /** A change of one field, or of the list as a whole. */
  readonly onEdit: (path: readonly (string | number)[], value: unknown) => void;
  readonly onList: (list: readonly unknown[] | undefined) => void;
}) {
  const { value, whole, problems, reader, onEdit, onList } = props;
  const list: readonly unknown[] = Array.isArray(value) ? value : [];
  const { ref, after } = useListFocus<HTMLDivElement>();
  const specs = useMemo(() => COLUMNS.map(({ key }) => reader(['load', 'parts', 0, key])), [reader]);
  const put = (next: readonly unknown[]) => onList(next.length === 0 ? undefined : next);
  const here = problems.filter((p) => p.place?.field === NAME);
  return (
    <div class="list-field" data-field={NAME} ref={ref}>
      {list.length === 0 ? <p class="said">No other states: the load is its average, or transmission alone.</p> : null}
      {list.length === 0 ? null : (
        <div class="scroll">
          <table class="tight entries">
            <caption>States besides transmission; mean current {meanText(whole)}</caption>
            <thead>
              <tr>
                {COLUMNS.map((c) => (
                  <th key={c.key} scope="col" class={'figures' in c ? 'n' : undefined}>
                    {c.head}
                  </th>
                ))}
                <th scope="col">
                  <span class="unseen">what can be done</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {list.map((item, i) => (
                <Row key={i} {...{ item, i, list, whole, specs, put, after, onEdit }} problems={problems} />
              ))}
            </tbody>
          </table>
        </div>
      )}
      <button
        type="button"
        class="plain"
        data-act="add-0"
        disabled={list.length >= MOST}
        onClick={() => put([...list, { name: `State ${list.length + 1}`, current_mA: 1, duty: 1 }])}
      >
        add a state
      </button>
      <Problems list={here} />
    </div>
  );
}

interface RowProps {
  readonly item: unknown;
  readonly i: number;
  readonly list: readonly unknown[];
  readonly whole: unknown;
  readonly specs: readonly ReturnType<ReturnType<typeof fieldReader>>[];
  readonly problems: readonly Problem[];
  readonly put: (next: readonly unknown[]) => void;
  readonly after: ReturnType<typeof useListFocus>['after'];
  readonly onEdit: (path: readonly (string | number)[], value: unknown) => void;
}

function Row({ item, i, list, whole, specs, problems, put, after, onEdit }: RowProps) {
  const name = `${NAME}[${i}]`;
  const wrong = problemsAt(problems, name);
  const called = String(at(item, 'name') ?? at(item, 'part') ?? `state ${i + 1}`);
  const cell = (column: (typeof COLUMNS)[number], k: number) => {
    const path = ['load', 'parts', i, column.key];
    const label = `${column.head} of ${called}`;
    if (column.key === 'part')
      return (
        <select
          aria-label={label}
          value={String(at(item, 'part') ?? '')}
          onChange={(event) => put(list.map((v, j) => (j === i ? withPart(v, event.currentTarget.value) : v)))}
        >
          <option value="">none</option>
          {LOAD_STATES.map((p) => (
            <option key={p.id} value={p.id}>
              {p.title}
            </option>
          ))}
        </select>
      );
    return (
      <BareInput
        name={`${name}.${column.key}`}
        label={label}
        spec={specs[k]!}
        value={at(item, column.key)}
        fallback={at(whole, 'parts', i, column.key)}
        problems={problemsAt(problems, `${name}.${column.key}`)}
        describedBy={`load-part-${i}`}
        onChange={(next) => onEdit(path, next)}
      />
    );
  };
  return (
    <>
      <tr class={wrong.length > 0 ? 'wrong' : undefined}>
        {COLUMNS.map((column, k) => (
          <td key={column.key} class={'figures' in column ? 'n' : 'words'}>
            {cell(column, k)}
          </td>
        ))}
        <td>
          <ListActs name={called} list={list} at={i} onChange={put} after={after} />
        </td>
      </tr>
      {wrong.length === 0 ? null : (
        <tr class="at-row">
          <td colSpan={COLUMNS.length + 1} id={`load-part-${i}`}>
            <Problems list={wrong} />
          </td>
        </tr>
      )}
    </>
  );
}

const withPart = (item: unknown, part: string) => withField(item, ['part'], part === '' ? undefined : part) as unknown;

/** Sum of the states, where the kit can be read. */
function meanText(whole: unknown): string {
  const parts = at(whole, 'parts');
  if (!Array.isArray(parts)) return 'as soon as all rows can be read';
  const mean_mA = parts.reduce((sum: number, part: unknown) => {
    if (!isMapping(part)) return sum;
    const share = typeof part['duty'] === 'number' ? part['duty'] : Number(part['seconds_per_h'] ?? 3600) / 3600;
    return sum + Number(part['current_mA']) * share;
  }, 0);
  return `${format.value.figure(mean_mA)} mA`;
}
