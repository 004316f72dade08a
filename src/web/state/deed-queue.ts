/**
 * Deeds on their way to the workshop: each is put down in the browser's own storage first, then sent, in the order in which they
 * were done, and taken away only when the workshop has answered. A phone that loses its connection, or is closed in between, sends
 * the same deed with the same token again: it is kept once.
 */
import type { Problem } from '../../core/units/index.ts';

export interface WaitingDeed {
  /** Sorts as the deeds were done. */
  readonly key: string;
  readonly token: string;
  /** What it is, in words. */
  readonly said: string;
  readonly body: Readonly<Record<string, unknown>>;
  /** When it was done by this device's clock, UTC. */
  readonly at: string;
  /** Set when the workshop said no. */
  readonly refused?: readonly Problem[];
}

/** How a sending ended. */
export type Sent<A> =
  | { readonly how: 'kept'; readonly answer: A }
  | { readonly how: 'refused'; readonly problems: readonly Problem[] }
  /** Nobody answered, or not now: to be tried again. */
  | { readonly how: 'later' };

/** The part of the browser's storage that is used; every deed has a place of its own, so that two windows do not overwrite each other. */
export interface Places {
  readonly length: number;
  key(i: number): string | null;
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
}

const PREFIX = 'sunperch.deed.';

export function createDeedQueue<A>(options: {
  readonly places: Places;
  readonly send: (deed: WaitingDeed) => Promise<Sent<A>>;
  readonly now_ms: () => number;
  readonly chance: () => string;
  /** Called after each change with all that is there. */
  readonly onChange: (deeds: readonly WaitingDeed[]) => void;
  /** Called for each deed that was kept. */
  readonly onKept: (deed: WaitingDeed, answer: A) => void;
}) {
  const { places, send, now_ms, chance, onChange, onKept } = options;
  let last_ms = 0;
  let running: Promise<void> | undefined;

  const list = (): WaitingDeed[] => {
    const found: WaitingDeed[] = [];
    for (let i = 0; i < places.length; i++) {
      const key = places.key(i);
      if (key === null || !key.startsWith(PREFIX)) continue;
      try {
        found.push({ ...(JSON.parse(places.getItem(key) ?? '') as WaitingDeed), key: key.slice(PREFIX.length) });
      } catch {
        // Not ours, or cut off in writing: there is nothing in it that could be sent.
      }
    }
    return found.sort((a, b) => (a.key < b.key ? -1 : 1));
  };
  const tell = () => onChange(list());
  const put = (deed: WaitingDeed) => places.setItem(PREFIX + deed.key, JSON.stringify(deed));
  const take = (key: string) => places.removeItem(PREFIX + key);

  /** Puts a deed down. Throws when the storage is full or closed: nothing is then waiting, and whoever asked has to be told. */
  const add = (body: Readonly<Record<string, unknown>>, said: string, token = chance()): WaitingDeed => {
    const time_ms = Math.max(now_ms(), last_ms + 1, Number(list().at(-1)?.key.slice(0, 15) ?? 0) + 1);
    last_ms = time_ms;
    const key = `${String(time_ms).padStart(15, '0')}-${token.slice(0, 8)}`;
    const at = new Date(now_ms()).toISOString();
    const deed: WaitingDeed = { key, token, said, body: { ...body, token, notedAt: at }, at };
    put(deed);
    tell();
    return deed;
  };

  /** Sends what waits, one after the other, until nothing waits or nobody answers. Two calls at once are one. */
  const drain = (): Promise<void> => {
    // Let go after it is held: a round that finds nothing ends before it could be.
    running ??= round().finally(() => {
      running = undefined;
    });
    return running;
  };

  const round = async (): Promise<void> => {
    for (;;) {
      const next = list().find((deed) => deed.refused === undefined);
      if (next === undefined) return;
      const sent = await send(next);
      if (sent.how === 'later') return;
      if (sent.how === 'kept') {
        take(next.key);
        onKept(next, sent.answer);
      } else put({ ...next, refused: sent.problems });
      tell();
    }
  };

  return {
    list,
    add,
    drain,
    /** Lets a deed go: it was refused, and is not wanted any more. */
    drop(key: string) {
      take(key);
      tell();
    },
    /** Sends a refused deed again, as it was done and in its old place. */
    again(key: string) {
      const deed = list().find((d) => d.key === key);
      if (deed === undefined) return;
      const { refused, ...rest } = deed;
      const { notedAt, ...body } = rest.body;
      // A clock that was far ahead has told a time that nobody takes: it goes without one.
      put(refused?.some((p) => p.code === 'noted-ahead') ? { ...rest, body } : rest);
      tell();
    },
  };
}
export type DeedQueue<A> = ReturnType<typeof createDeedQueue<A>>;
