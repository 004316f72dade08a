/** A value with its past: undo and redo; moves of one hand are one step. */
import { useMemo, useRef, useState } from 'preact/hooks';

export interface History {
  readonly now: string;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** A new value; calls with the same gesture name follow each other as one step. */
  put(next: string, gesture?: string): void;
  undo(): void;
  redo(): void;
  /** Begins anew from a value. */
  reset(value: string): void;
}

const MOST = 200;

/** `later` stands one step after `first`: an edit that was left and is taken up again. */
export function useHistory(first: string, later?: string): History {
  const [all, setAll] = useState(() => ({
    past: (later === undefined || later === first ? [] : [first]) as readonly string[],
    now: later ?? first,
    future: [] as readonly string[],
  }));
  const gesture = useRef<string | undefined>(undefined);
  return useMemo(
    () => ({
      now: all.now,
      canUndo: all.past.length > 0,
      canRedo: all.future.length > 0,
      put(next, name) {
        if (next === all.now) return;
        const same = name !== undefined && name === gesture.current && all.past.length > 0;
        gesture.current = name;
        setAll({ past: same ? all.past : [...all.past.slice(1 - MOST), all.now], now: next, future: [] });
      },
      undo() {
        const before = all.past.at(-1);
        gesture.current = undefined;
        if (before !== undefined)
          setAll({ past: all.past.slice(0, -1), now: before, future: [all.now, ...all.future] });
      },
      redo() {
        const [after, ...rest] = all.future;
        gesture.current = undefined;
        if (after !== undefined) setAll({ past: [...all.past, all.now], now: after, future: rest });
      },
      reset(value) {
        gesture.current = undefined;
        setAll({ past: [], now: value, future: [] });
      },
    }),
    [all],
  );
}
