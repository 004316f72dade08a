/** Kit and perch of an address, taken in hand; where the address names none, those that were in hand last. */
import { useEffect, useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import * as design from '../state/design.ts';
import { lastPair } from '../state/last-pair.ts';
import { callProblems, kits, loadRecord, loadWorkshop, overview, perches } from '../state/workshop.ts';

export interface Hand {
  readonly problems: readonly Problem[];
  /** The workshop's list is there. */
  readonly read: boolean;
  /** Undefined: the workshop has none. */
  readonly kit: string | undefined;
  readonly perch: string | undefined;
  /** Both are in hand. */
  readonly ready: boolean;
}

export function useHand(
  asked: { readonly kit?: string; readonly perch?: string },
  addressOf: (kit: string, perch: string) => string,
): Hand {
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const list = overview.value;
  useEffect(() => {
    if (list === null) void loadWorkshop();
  }, []);
  const first = (wanted: (string | undefined)[], from: readonly { readonly id: string }[]) =>
    wanted.find((id) => id !== undefined && from.some((r) => r.id === id)) ?? from[0]?.id;
  const kit = first([asked.kit, design.kitRecord.value?.id, lastPair.value.kit], kits.value);
  const perch = first([asked.perch, design.perchRecord.value?.id, lastPair.value.perch], perches.value);
  useEffect(() => {
    if (kit === undefined || perch === undefined) return;
    let here = true;
    setProblems([]);
    if (asked.kit !== kit || asked.perch !== perch) history.replaceState(null, '', addressOf(kit, perch));
    Promise.all([loadRecord(kit), loadRecord(perch)]).then(
      ([k, p]) => {
        if (!here) return;
        design.takeInHand(k, p);
        lastPair.value = { kit, perch };
      },
      (error: unknown) => here && setProblems(callProblems(error)),
    );
    return () => {
      here = false;
    };
  }, [kit, perch]);
  return {
    problems,
    read: list !== null,
    kit,
    perch,
    ready: kit !== undefined && design.kitRecord.value?.id === kit && design.perchRecord.value?.id === perch,
  };
}
