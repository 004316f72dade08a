/** The record's text, with what is wrong and where; a press on a line number goes there. */
import { useRef } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { Problems } from '../parts/problems.tsx';

export function TextView(props: {
  readonly text: string;
  readonly problems: readonly Problem[];
  readonly onChange: (text: string) => void;
}) {
  const { text, problems, onChange } = props;
  const ref = useRef<HTMLTextAreaElement>(null);
  const goTo = ({ place }: Problem) => {
    const area = ref.current;
    if (area === null || place?.line === undefined) return;
    const lines = text.split('\n');
    const begin = lines.slice(0, place.line - 1).reduce((sum, line) => sum + line.length + 1, 0);
    const end = begin + (lines[place.line - 1]?.length ?? 0);
    area.focus();
    area.setSelectionRange(begin + Math.max(0, (place.column ?? 1) - 1), end);
    area.scrollTop = (place.line - 4) * Number.parseFloat(getComputedStyle(area).lineHeight);
  };
  return (
    <div class="text-view">
      <label for="record-text">The file, as it is kept: YAML, the unit of each number in its name</label>
      <textarea
        id="record-text"
        ref={ref}
        rows={Math.min(48, Math.max(16, text.split('\n').length + 2))}
        spellcheck={false}
        autocomplete="off"
        autocapitalize="off"
        value={text}
        aria-invalid={problems.length > 0}
        aria-describedby="record-text-problems"
        onInput={(event) => onChange(event.currentTarget.value)}
      />
      <div id="record-text-problems">
        <Problems list={problems} onPick={goTo} />
      </div>
    </div>
  );
}
