// source: the issue "The bench": a phone that loses its connection in the middle of a step (queued, sent once, order kept)
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createDeedQueue, type Places, type Sent, type WaitingDeed } from '../../src/web/state/deed-queue.ts';
import { createBurst, serialIn } from '../../src/web/state/scan.ts';

function memory(): Places & { readonly kept: Map<string, string> } {
  const kept = new Map<string, string>();
  return {
    kept,
    get length() {
      return kept.size;
    },
    key: (i) => [...kept.keys()][i] ?? null,
    getItem: (key) => kept.get(key) ?? null,
    setItem: (key, value) => void kept.set(key, value),
    removeItem: (key) => void kept.delete(key),
  };
}

let tokens = 0;
/** A queue of one window on a storage that others may share. */
function queueOn(places: Places, send: (deed: WaitingDeed) => Promise<Sent<string>>, now_ms = () => 1000) {
  return createDeedQueue<string>({
    ...{ places, send, now_ms, onChange: () => undefined, onKept: () => undefined },
    chance: () => `token-${String(tokens++).padStart(6, '0')}`,
  });
}

describe('deeds on their way', () => {
  it('each is kept once and in order, whenever the connection breaks, before or after the workshop has written', async () => {
    const breaks = fc.array(fc.constantFrom('fine', 'lost on the way', 'answer lost'), { maxLength: 30 });
    await fc.assert(
      fc.asyncProperty(breaks, fc.integer({ min: 1, max: 12 }), async (fates, count) => {
        // The workshop: writes a token once, as the server does.
        const written: string[] = [];
        const kept = new Set<string>();
        const send = async (deed: WaitingDeed): Promise<Sent<string>> => {
          const fate = fates.shift() ?? 'fine';
          if (fate === 'lost on the way') return { how: 'later' };
          if (!kept.has(deed.token)) written.push(deed.said);
          kept.add(deed.token);
          return fate === 'answer lost' ? { how: 'later' } : { how: 'kept', answer: '' };
        };
        const places = memory();
        const said = Array.from({ length: count }, (_, i) => `deed ${i}`);
        for (const words of said) {
          // A window that was closed and opened again finds what the last one left.
          const queue = queueOn(places, send);
          queue.add({ deed: 'tick' }, words);
          await queue.drain();
        }
        while (places.kept.size > 0) await queueOn(places, send).drain();
        expect(written).toEqual(said);
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  it('keeps what was refused until somebody lets it go, and goes on with the next', async () => {
    const places = memory();
    const problems = [{ code: 'ticked-already', message: 'A. Lund has ticked it already' }];
    const sent: string[] = [];
    const send = async (deed: WaitingDeed): Promise<Sent<string>> => {
      sent.push(deed.said);
      return deed.said === 'first' && sent.length < 3 ? { how: 'refused', problems } : { how: 'kept', answer: '' };
    };
    const queue = queueOn(places, send);
    queue.add({}, 'first');
    queue.add({}, 'second');
    await queue.drain();
    expect(sent).toEqual(['first', 'second']);
    expect(queue.list()).toMatchObject([{ said: 'first', refused: problems }]);
    queue.again(queue.list()[0]!.key);
    await queue.drain();
    expect([sent.at(-1), queue.list()]).toEqual(['first', []]);
  });

  it('keeps the order when the clock is put back', async () => {
    const places = memory();
    let clock_ms = 5000;
    const queue = queueOn(
      places,
      async () => ({ how: 'later' }),
      () => clock_ms,
    );
    queue.add({}, 'first');
    clock_ms = 1000;
    queue.add({}, 'second');
    queueOn(
      places,
      async () => ({ how: 'later' }),
      () => 900,
    ).add({}, 'third');
    expect(queue.list().map((deed) => deed.said)).toEqual(['first', 'second', 'third']);
  });

  it('tells when the hand did it, also when it is sent again; a time that the workshop found far ahead is left out', async () => {
    const ahead = [{ code: 'noted-ahead', message: 'put the clock of the device right' }];
    const sent: unknown[] = [];
    const fates: Sent<string>[] = [{ how: 'later' }, { how: 'refused', problems: ahead }, { how: 'kept', answer: '' }];
    const queue = queueOn(
      memory(),
      async (deed) => {
        sent.push(deed.body['notedAt']);
        return fates.shift()!;
      },
      () => Date.UTC(2026, 10, 25, 14, 2),
    );
    const { key } = queue.add({ deed: 'tick' }, 'tick');
    await queue.drain();
    await queue.drain();
    queue.again(key);
    await queue.drain();
    expect(sent).toEqual(['2026-11-25T14:02:00.000Z', '2026-11-25T14:02:00.000Z', undefined]);
    expect(queue.list()).toEqual([]);
  });

  it('two sendings at once are one', async () => {
    let sent = 0;
    const queue = queueOn(memory(), async () => {
      sent++;
      await Promise.resolve();
      return { how: 'kept', answer: '' };
    });
    queue.add({}, 'only');
    await Promise.all([queue.drain(), queue.drain()]);
    expect(sent).toBe(1);
  });

  it('sends again after a round that found nothing to send', async () => {
    const queue = queueOn(memory(), async () => ({ how: 'kept', answer: '' }));
    await queue.drain();
    queue.add({}, 'later on');
    await queue.drain();
    expect(queue.list()).toEqual([]);
  });

  it('says so when the storage is full: the deed is not taken for waiting', () => {
    const places = {
      ...memory(),
      setItem: () => {
        throw new DOMException('full', 'QuotaExceededError');
      },
    };
    const queue = queueOn(places, async () => ({ how: 'later' }));
    expect(() => queue.add({}, 'too much')).toThrow();
  });
});

describe('a scanner at the keyboard', () => {
  const type = (text: string, pause_ms: number, burst = createBurst()) => {
    let at = 1000;
    let heard: string | undefined;
    for (const key of [...text, 'Enter']) {
      at += pause_ms;
      heard = burst.press(key, at);
    }
    return heard;
  };
  it('is told from a hand by its speed', () => {
    expect(type('A07-012K', 4)).toBe('A07-012K');
    expect(type('A07-012K', 30)).toBe('A07-012K');
    // The fastest hands write some 15 signs a second, 65 ms each (common practice, no source).
    expect(type('A07-012K', 65)).toBeUndefined();
    expect(type('A07-012K', 120)).toBeUndefined();
  });
  it('needs a few signs, drops what a hand typed before, and takes capitals typed with Shift', () => {
    expect(type('12', 4)).toBeUndefined();
    const burst = createBurst();
    for (const [i, key] of ['1', '2'].entries()) burst.press(key, i * 200);
    expect(type('A07-012K', 4, burst)).toBe('A07-012K');
    const shifted = createBurst();
    let at = 0;
    for (const key of ['Shift', 'A', '0', '7', 'Shift', 'K', 'X']) {
      at += 5;
      shifted.press(key, at);
    }
    expect(shifted.press('Enter', at + 5)).toBe('A07KX');
    expect(type('A07-012K', 4, shifted)).toBe('A07-012K');
  });
  it('reads a serial off an address', () => {
    expect(serialIn(' A07-012K\n')).toBe('A07-012K');
    expect(serialIn('https://maker.example/units/A07-012K.html')).toBe('A07-012K');
    expect(serialIn('https://maker.example/u?s=A07-012K')).toBe('A07-012K');
    expect(serialIn('http://10.0.0.2:7468/#/bench/unit/A07-012K')).toBe('A07-012K');
  });
});
