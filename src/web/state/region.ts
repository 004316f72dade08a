/** The region whose radio rules are told; kept in this browser. */
import { signal } from '@preact/signals';

const KEY = 'sunperch.region';

function initial(): string {
  try {
    return localStorage.getItem(KEY) ?? '';
  } catch {
    return '';
  }
}

/** Empty: none is chosen. */
export const region = signal(initial());

region.subscribe((now) => {
  try {
    localStorage.setItem(KEY, now);
  } catch {
    // Without storage it holds for this visit.
  }
});
