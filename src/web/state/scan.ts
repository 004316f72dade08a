/** Telling a scanner that types like a keyboard from a hand: a burst of keys that ends in Enter. */

/** Longest pause within a burst, and its average; a hand pauses for 60 ms and more (common practice, no source). */
const MOST_ms = { pause: 60, average: 35 } as const;
/** A serial has at least so many signs. */
const LEAST_SIGNS = 5;

export interface Burst {
  /** A key at a time; the text when this Enter ends a burst. */
  press(key: string, at_ms: number): string | undefined;
  /** Whether the keys so far could be the beginning of a burst that began with the last but one. */
  readonly length: number;
}

export function createBurst(): Burst {
  let text = '';
  let first_ms = 0;
  let last_ms = Number.NEGATIVE_INFINITY;
  return {
    get length() {
      return text.length;
    },
    press(key, at_ms) {
      if (key === 'Shift') return undefined;
      const pause = at_ms - last_ms;
      last_ms = at_ms;
      if (pause > MOST_ms.pause || (key.length !== 1 && key !== 'Enter')) text = '';
      if (key === 'Enter') {
        const done = text;
        text = '';
        const fast = (at_ms - first_ms) / Math.max(1, done.length) <= MOST_ms.average;
        return done.length >= LEAST_SIGNS && fast ? done : undefined;
      }
      if (key.length !== 1) return undefined;
      if (text === '') first_ms = at_ms;
      text += key;
      return undefined;
    },
  };
}

/** The serial in what a code holds: the text itself, or the end of an address that a label leads to. */
export function serialIn(scanned: string): string {
  const text = scanned.trim();
  if (!/^https?:\/\//i.test(text)) return text;
  try {
    const address = new URL(text);
    const asked = [...address.searchParams.values()].at(-1);
    const last = (path: string) => path.split('/').filter(Boolean).at(-1);
    return decodeURIComponent(asked ?? last(address.hash.replace(/^#/, '')) ?? last(address.pathname) ?? text).replace(
      /\.html?$/i,
      '',
    );
  } catch {
    return text;
  }
}
