/** Reading something of the bench, and again whenever a deed was kept. */
import { useCallback, useEffect, useState } from 'preact/hooks';
import type { Problem } from '../../../core/units/index.ts';
import { benchTurn } from '../../state/bench.ts';
import { callProblems } from '../../state/workshop.ts';

export interface Reading<T> {
  readonly value: T | null;
  readonly problems: readonly Problem[];
  again(): void;
}

/** `key` names what is read: another key forgets what was there; null reads nothing. */
export function useRead<T>(key: string | null, read: () => Promise<T>): Reading<T> {
  const [held, setHeld] = useState<{ readonly key: string; readonly value: T } | null>(null);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [round, setRound] = useState(0);
  const turn = benchTurn.value;
  useEffect(() => {
    if (key === null) return;
    let here = true;
    read().then(
      (value) => {
        if (!here) return;
        setHeld({ key, value });
        setProblems([]);
      },
      (error: unknown) => here && setProblems(callProblems(error)),
    );
    return () => {
      here = false;
    };
  }, [key, turn, round]);
  const again = useCallback(() => setRound((n) => n + 1), []);
  return { value: held !== null && held.key === key ? held.value : null, problems, again };
}
