import type { StaleSave } from '../../server/api.ts';
import { DataTable } from '../parts/table.tsx';

const said = (value: unknown) =>
  value === undefined || value === null ? '–' : typeof value === 'string' ? value : JSON.stringify(value);

/** Somebody else has saved meanwhile: what they changed, and the choice. Their revision stays in the history either way. */
export function Stale(props: {
  readonly stale: StaleSave;
  readonly onMine: () => void;
  readonly onTheirs: () => void;
  readonly onClose: () => void;
}) {
  const { stale } = props;
  return (
    <section class="stale-save" role="alert" aria-label="Saved meanwhile">
      <p class="lead">{stale.message}</p>
      {stale.changed.length === 0 ? null : (
        <DataTable
          caption={`Where revision ${stale.revision} and yours differ`}
          columns={[
            { key: 'field', head: 'field' },
            { key: 'theirs', head: 'theirs' },
            { key: 'yours', head: 'yours' },
          ]}
          rows={stale.changed.map((c) => ({ key: c.field, cells: [c.field, said(c.theirs), said(c.yours)] }))}
        />
      )}
      <div class="actions">
        <button type="button" class="main" onClick={props.onTheirs}>
          Go on from theirs
        </button>
        <button type="button" onClick={props.onMine}>
          Save mine after theirs
        </button>
        <button type="button" class="plain" onClick={props.onClose}>
          decide later
        </button>
      </div>
    </section>
  );
}
