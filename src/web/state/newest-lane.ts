/** One question at a time; of those that wait only the newest is asked. */

export interface Running<T> {
  readonly result: Promise<T>;
  stop(): void;
}

export interface NewestLane<Q> {
  /** Asks, or waits for the one under way; a question that waited already is dropped. */
  ask(question: Q): void;
  /** Stops what is under way and drops what waits. */
  stop(): void;
}

/**
 * A lane over work that takes a moment: while the hand moves, answers come one after the other, each to the newest question at its
 * beginning. The question under way is let finish (it is short), or a fast hand would never see an answer.
 */
export function newestLane<Q, T>(
  start: (question: Q) => Running<T>,
  take: (answer: T, question: Q) => void,
  fail: (error: unknown, question: Q) => void,
): NewestLane<Q> {
  let running: Running<T> | undefined;
  let waiting: { readonly question: Q } | undefined;
  const next = () => {
    const now = waiting;
    waiting = undefined;
    if (now !== undefined) begin(now.question);
  };
  const begin = (question: Q) => {
    const work = start(question);
    running = work;
    const end = (told: () => void) => {
      if (running !== work) return;
      running = undefined;
      told();
      if (running === undefined) next();
    };
    work.result.then(
      (answer) => end(() => take(answer, question)),
      (error: unknown) => end(() => fail(error, question)),
    );
  };
  return {
    ask(question) {
      if (running === undefined) begin(question);
      else waiting = { question };
    },
    stop() {
      waiting = undefined;
      running?.stop();
      running = undefined;
    },
  };
}
