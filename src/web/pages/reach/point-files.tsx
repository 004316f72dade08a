/** A list of points from files or pasted text: CSV, GeoJSON or YAML. */
import type { Signal } from '@preact/signals';
import { useId, useState } from 'preact/hooks';
import { type Problem, UserError } from '../../../core/units/index.ts';
import { readPlaces } from '../../../formats/places.ts';
import type { CandidateInput } from '../../../server/api.ts';
import { problemsOf } from '../../compute/engine.ts';
import { FileDrop } from '../../parts/file-drop.tsx';
import { Problems } from '../../parts/problems.tsx';
import { notify } from '../../state/notices.ts';
import { joined } from './point-lists.ts';

const MOST_BYTES = 2_000_000;

export function PointFiles(props: {
  readonly list: Signal<readonly CandidateInput[]>;
  readonly what: 'candidates' | 'places';
  readonly most: number;
}) {
  const { list, what, most } = props;
  const id = useId();
  const [pasted, setPasted] = useState('');
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const take = (text: string, file: string) => {
    try {
      const before = list.value;
      const { list: next, left } = joined(before, readPlaces(text, file), most);
      list.value = next;
      setProblems(
        left === 0 ? [] : [{ code: 'many', message: `at most ${most} ${what} are kept: ${left} were left out` }],
      );
      notify(`${next.length} ${what} are on the list.`, {
        label: 'Undo',
        act: () => {
          list.value = before;
        },
      });
      return true;
    } catch (error) {
      setProblems(problemsOf(error));
      return false;
    }
  };
  const read = async (files: readonly File[]) => {
    for (const file of files) {
      if (file.size > MOST_BYTES) {
        setProblems(
          problemsOf(new UserError({ code: 'size', message: `${file.name} is too large for a list of ${what}` })),
        );
        continue;
      }
      if (!take(await file.text(), file.name)) return;
    }
  };
  return (
    <details class="point-files">
      <summary>{what} from a file or pasted text</summary>
      <p class="quiet">
        CSV with the first line name,latitude_deg,longitude_deg[,height_m[,access]]; GeoJSON points; or a YAML list with
        these keys.
      </p>
      <FileDrop label="files, or drop them here" multiple accept=".csv,.geojson,.json,.yaml,.yml,.txt" onFiles={read} />
      <label for={`${id}-text`}>pasted text</label>
      <textarea
        id={`${id}-text`}
        rows={4}
        spellcheck={false}
        value={pasted}
        onInput={(event) => setPasted(event.currentTarget.value)}
      />
      <div class="actions">
        <button
          type="button"
          disabled={pasted.trim() === ''}
          onClick={() => {
            if (take(pasted, 'the pasted text')) setPasted('');
          }}
        >
          Add to the list
        </button>
      </div>
      <Problems list={problems} />
    </details>
  );
}
