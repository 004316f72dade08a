/** What is wrong and how to mend it, all at once. */
import type { Problem } from '../../core/units/index.ts';

export function Problems({
  list,
  onPick,
}: {
  readonly list: readonly Problem[];
  readonly onPick?: (p: Problem) => void;
}) {
  if (list.length === 0) return null;
  return (
    <div class="problems" role="alert">
      {list.map((p) => (
        <p key={`${p.code} ${p.place?.field ?? ''} ${p.message}`}>
          {onPick && p.place?.line !== undefined ? (
            <button type="button" class="plain" onClick={() => onPick(p)}>
              line {p.place.line}
            </button>
          ) : null}{' '}
          {p.message}
        </p>
      ))}
    </div>
  );
}

/** The problems of a field and of what lies below it. */
export function problemsAt(list: readonly Problem[], field: string): readonly Problem[] {
  return list.filter(({ place }) => {
    const at = place?.field;
    return at !== undefined && (at === field || at.startsWith(`${field}.`) || at.startsWith(`${field}[`));
  });
}
