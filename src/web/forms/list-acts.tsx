/** What can be done with an entry of a list: further up, further down, away. The focus goes with the entry. */
import { useLayoutEffect, useRef } from 'preact/hooks';

type Act = 'up' | 'down' | 'away' | 'add';

export const moved = <T,>(list: readonly T[], from: number, to: number): T[] => {
  const rest = list.filter((_, i) => i !== from);
  return [...rest.slice(0, to), list[from]!, ...rest.slice(to)];
};
export const without = <T,>(list: readonly T[], at: number): T[] => list.filter((_, i) => i !== at);

/** Puts the focus where it belongs once the list has been drawn anew. */
export function useListFocus<E extends HTMLElement>() {
  const ref = useRef<E>(null);
  const next = useRef<readonly string[]>([]);
  useLayoutEffect(() => {
    const wanted = next.current;
    next.current = [];
    for (const name of wanted) {
      const button = ref.current?.querySelector<HTMLButtonElement>(`[data-act="${name}"]:not(:disabled)`);
      if (button) return button.focus();
    }
  });
  return {
    ref,
    /** The next drawing puts the focus on this act of this entry, or on another one that is free. */
    after(act: Act, at: number) {
      const others: Act[] = ['up', 'down', 'away'];
      next.current = [`${act}-${at}`, ...others.map((o) => `${o}-${at}`), `away-${at - 1}`, 'add-0'];
    },
  };
}

export interface ListActsProps<T> {
  /** What an entry is called, `panel 2`. */
  readonly name: string;
  readonly list: readonly T[];
  readonly at: number;
  readonly onChange: (list: readonly T[]) => void;
  readonly after: (act: Act, at: number) => void;
  /** Fewer are not allowed. */
  readonly least?: number;
}

export function ListActs<T>({ name, list, at, onChange, after, least = 0 }: ListActsProps<T>) {
  const act = (which: Act, next: readonly T[], to: number) => {
    after(which, to);
    onChange(next);
  };
  const button = (which: Act, word: string, label: string, off: boolean, press: () => void) => (
    <button type="button" class="plain" data-act={`${which}-${at}`} aria-label={label} disabled={off} onClick={press}>
      {word}
    </button>
  );
  return (
    <span class="list-acts">
      {button('up', 'up', `move ${name} up`, at === 0, () => act('up', moved(list, at, at - 1), at - 1))}
      {button('down', 'down', `move ${name} down`, at === list.length - 1, () =>
        act('down', moved(list, at, at + 1), at + 1),
      )}
      {button('away', 'take away', `take away ${name}`, list.length <= least, () =>
        act('away', without(list, at), Math.min(at, list.length - 2)),
      )}
    </span>
  );
}
