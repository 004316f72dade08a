/** The bench as this browser knows it: who signs, what waits to be sent, and what was answered last. */
import { computed, signal } from '@preact/signals';
import type { Problem } from '../../core/units/index.ts';
import type { DeedRequest } from '../../records/bench/index.ts';
import type { BenchDeedAnswer } from '../../server/api.ts';
import { sendDeed } from '../api/bench.ts';
import { Refused, Unreachable } from '../api/client.ts';
import { createDeedQueue, type Sent, type WaitingDeed } from './deed-queue.ts';
import { reachable } from './workshop.ts';

const BY = 'sunperch.bench.by';
const INSTRUMENT = 'sunperch.bench.instrument';
const remembered = (key: string): string => {
  try {
    return localStorage.getItem(key) ?? '';
  } catch {
    return '';
  }
};
function remember(key: string, value: string): void {
  try {
    localStorage.setItem(key, value);
  } catch {
    // Without storage it holds for this visit.
  }
}

/** Who signs what is done in this browser. */
export const signer = signal(remembered(BY));
export function signAs(name: string): void {
  signer.value = name;
  remember(BY, name);
}
/** What was measured with last, by gate. */
export const instrumentOf = (gate: string): string => remembered(`${INSTRUMENT}.${gate}`);
export const rememberInstrument = (gate: string, name: string): void => remember(`${INSTRUMENT}.${gate}`, name);

/** Who carried the last parcel. */
const CARRIER = 'sunperch.bench.carrier';
export const carrierOf = (): string => remembered(CARRIER);
export const rememberCarrier = (name: string): void => remember(CARRIER, name);

/** Deeds that are put down, in the order in which they were done. */
const putDown = signal<readonly WaitingDeed[]>([]);
/** Tokens of those that are being sent for the first time, for as long as an answer may come at once. */
const trying = signal<ReadonlySet<string>>(new Set());
/** Wait for an answer before a deed is told as waiting, ms: an answer mostly comes sooner, and nothing flickers. */
const AT_ONCE_ms = 1500;
/** Deeds that the workshop has not answered yet, and those that it refused; oldest first. */
export const waiting = computed(() => putDown.value.filter((deed) => !trying.value.has(deed.token)));
/** Grows with every deed that was kept: pages read again what they show. */
export const benchTurn = signal(0);

/** Random from the browser; `crypto.randomUUID` is there on encrypted pages only. */
export function chance(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (b) => b.toString(16).padStart(2, '0')).join('');
}

/** What to say about each token that somebody waits for. */
const asked = new Map<string, (sent: Sent<BenchDeedAnswer>) => void>();

async function send(deed: WaitingDeed): Promise<Sent<BenchDeedAnswer>> {
  const sent = await trySending(deed);
  asked.get(deed.token)?.(sent);
  asked.delete(deed.token);
  return sent;
}

async function trySending(deed: WaitingDeed): Promise<Sent<BenchDeedAnswer>> {
  try {
    const answer = await sendDeed(deed.body);
    reachable.value = true;
    return { how: 'kept', answer };
  } catch (error) {
    if (error instanceof Unreachable) {
      reachable.value = false;
      return { how: 'later' };
    }
    // Locked out, too busy or out of order for now: none of these says that the deed is wrong.
    if (error instanceof Refused && error.status < 500 && ![401, 403, 408, 429].includes(error.status))
      return { how: 'refused', problems: error.problems };
    return { how: 'later' };
  }
}

/** Storage of this window alone, where the browser keeps none. */
function storage() {
  try {
    localStorage.setItem('sunperch.probe', '');
    localStorage.removeItem('sunperch.probe');
    return localStorage;
  } catch {
    const kept = new Map<string, string>();
    return {
      get length() {
        return kept.size;
      },
      key: (i: number) => [...kept.keys()][i] ?? null,
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
      removeItem: (key: string) => void kept.delete(key),
    };
  }
}

const queue = createDeedQueue<BenchDeedAnswer>({
  places: storage(),
  send,
  now_ms: () => Date.now(),
  chance,
  onChange: (deeds) => {
    putDown.value = deeds;
  },
  onKept: () => {
    benchTurn.value++;
  },
});
putDown.value = queue.list();

export type Done =
  | { readonly how: 'kept'; readonly answer: BenchDeedAnswer }
  | { readonly how: 'refused'; readonly problems: readonly Problem[] }
  | { readonly how: 'waits' };

/** A deed of this browser that was refused when its form was gone: told until the next one or until somebody has read it. */
export const refusedLately = signal<{ readonly said: string; readonly problems: readonly Problem[] } | null>(null);
export function tellRefused(said: string, problems: readonly Problem[]): void {
  if (problems.length > 0) refusedLately.value = { said, problems };
}
/** Codes of refusals that say that somebody else came first: what the page shows is behind. */
const FIRST = new Set([
  ...['ticked-already', 'not-ticked', 'gate-passed', 'fitted-already', 'not-reserved'],
  ...['unit-stopped', 'not-at-the-bench', 'not-shipped', 'not-returned', 'swapped-already'],
]);

function untried(token: string): void {
  if (!trying.value.has(token)) return;
  const left = new Set(trying.value);
  left.delete(token);
  trying.value = left;
}
function tryAtOnce(token: string): void {
  trying.value = new Set([...trying.value, token]);
  setTimeout(untried, AT_ONCE_ms, token);
}

type Unsigned<D> = D extends unknown ? Omit<D, 'by' | 'token'> : never;
/** A deed before it is signed. */
export type OwnDeed = Unsigned<DeedRequest>;

/**
 * Does something at the bench. Answers when the workshop has kept or refused it, or at once when it has to wait; what was refused
 * at the first try is told to the caller and waits nowhere.
 */
export async function doDeed(deed: OwnDeed, said: string): Promise<Done> {
  if (signer.value.trim() === '')
    return {
      how: 'refused',
      problems: [{ code: 'unsigned', message: 'say who you are first: every record of the bench is signed' }],
    };
  const token = chance();
  let put: WaitingDeed;
  tryAtOnce(token);
  try {
    put = queue.add({ by: signer.value.trim(), ...deed }, said, token);
  } catch {
    untried(token);
    return {
      how: 'refused',
      problems: [
        { code: 'no-room', message: 'this browser has no room to keep the record until it is sent: nothing was done' },
      ],
    };
  }
  const heard = new Promise<Sent<BenchDeedAnswer>>((resolve) => asked.set(put.token, resolve));
  // A running round may have looked just before this one was put down: one more follows.
  const rounds = queue.drain().then(() => queue.drain());
  const sent = await Promise.race([heard, rounds.then((): Sent<BenchDeedAnswer> => ({ how: 'later' }))]);
  asked.delete(put.token);
  refusedLately.value = null;
  if (sent.how !== 'refused') untried(token);
  if (sent.how === 'later') return { how: 'waits' };
  if (sent.how === 'refused') {
    await rounds;
    queue.drop(put.key);
    untried(token);
    if (!sent.problems.some((p) => FIRST.has(p.code))) return sent;
    // What the page shows is behind: it is read again, and what was pressed may be gone from it.
    tellRefused(said, sent.problems);
    benchTurn.value++;
    return { how: 'refused', problems: [] };
  }
  return sent;
}

/** Sends what waits. */
export const sendWaiting = (): Promise<void> => queue.drain();
export const dropDeed = (key: string): void => queue.drop(key);
export function tryAgain(key: string): void {
  queue.again(key);
  void queue.drain();
}

/** How often the workshop is asked again while something waits, ms. */
const AGAIN_ms = 4000;

/** Sends what waits as soon as somebody answers again; returns what ends it. */
export function keepSending(): () => void {
  const look = () => {
    if (queue.list().some((deed) => deed.refused === undefined)) void queue.drain();
  };
  look();
  const timer = setInterval(look, AGAIN_ms);
  // Another window may have put something down or sent it.
  const elsewhere = () => {
    putDown.value = queue.list();
  };
  window.addEventListener('online', look);
  window.addEventListener('storage', elsewhere);
  document.addEventListener('visibilitychange', look);
  return () => {
    clearInterval(timer);
    window.removeEventListener('online', look);
    window.removeEventListener('storage', elsewhere);
    document.removeEventListener('visibilitychange', look);
  };
}

/** Deeds on a unit that wait, in order. */
export const waitingOn = (serial: string): readonly WaitingDeed[] =>
  waiting.value.filter((deed) => deed.body['unit'] === serial && deed.refused === undefined);
