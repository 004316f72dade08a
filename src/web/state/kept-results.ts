/** Results of the server's longer work, kept in the browser so that they can be read without it. */

const PREFIX = 'sunperch.result.';
const MOST = 12;

interface Kept<T> {
  readonly at: number;
  readonly value: T;
}

export function keepResult<T>(key: string, value: T): void {
  const entry: Kept<T> = { at: Date.now(), value };
  try {
    localStorage.setItem(PREFIX + key, JSON.stringify(entry));
    const all = Object.keys(localStorage)
      .filter((k) => k.startsWith(PREFIX))
      .map((k) => ({ k, at: (JSON.parse(localStorage.getItem(k) ?? '{}') as Partial<Kept<T>>).at ?? 0 }))
      .sort((a, b) => b.at - a.at);
    for (const { k } of all.slice(MOST)) localStorage.removeItem(k);
  } catch {
    // Full or switched off: the result is shown all the same.
  }
}

export function keptResult<T>(key: string): T | undefined {
  try {
    const text = localStorage.getItem(PREFIX + key);
    return text === null ? undefined : (JSON.parse(text) as Kept<T>).value;
  } catch {
    return undefined;
  }
}
