/** Designs put aside to be compared, at most four. */
import { signal } from '@preact/signals';
import type { YearOutcome, YearPictures } from '../../core/energy/index.ts';
import * as design from './design.ts';
import { notify } from './notices.ts';

export const MOST_VARIANTS = 4;

export interface Variant {
  readonly letter: string;
  readonly kit: string;
  readonly perch: string;
  readonly changes: readonly string[];
  readonly outcome: YearOutcome;
  /** What the fan is drawn from. */
  readonly fan: Pick<YearPictures, 'fan' | 'startDay' | 'marks'>;
}

export const variants = signal<readonly Variant[]>([]);

/** Keeps the design in hand with its exact result. */
export function keepVariant(): void {
  const result = design.exact.value;
  const [kit, perch] = [design.kitRecord.value, design.perchRecord.value];
  if (result === null || kit === null || perch === null || !design.isExact.value) return;
  const letter = ['A', 'B', 'C', 'D'].find((l) => !variants.value.some((v) => v.letter === l));
  if (letter === undefined) return;
  const { fan, startDay, marks } = result.pictures;
  const variant = {
    letter,
    kit: kit.id,
    perch: perch.id,
    changes: design.changes.value,
    outcome: result.outcome,
    fan: { fan, startDay, marks },
  };
  variants.value = [...variants.value, variant].sort((a, b) => a.letter.localeCompare(b.letter));
}

export function dropVariant(letter: string): void {
  const before = variants.value;
  variants.value = before.filter((v) => v.letter !== letter);
  notify(`Variant ${letter} was dropped.`, {
    label: 'Undo',
    act: () => {
      variants.value = before;
    },
  });
}
