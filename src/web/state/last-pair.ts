/** The kit and perch that were in hand last; kept in the browser, so that a new visit begins where the last one ended. */
import { effect, signal } from '@preact/signals';

const KEY = 'sunperch.hand';

export interface Pair {
  readonly kit?: string;
  readonly perch?: string;
}

function initial(): Pair {
  try {
    const { kit, perch } = JSON.parse(localStorage.getItem(KEY) ?? '{}') as Pair;
    return {
      ...(typeof kit === 'string' ? { kit } : {}),
      ...(typeof perch === 'string' ? { perch } : {}),
    };
  } catch {
    return {};
  }
}

export const lastPair = signal<Pair>(initial());

effect(() => {
  const text = JSON.stringify(lastPair.value);
  try {
    localStorage.setItem(KEY, text);
  } catch {
    // Without storage it holds for this visit.
  }
});
