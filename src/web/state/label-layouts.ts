/** Layouts of labels in this browser: those that everybody has, and one of the reader's own. */
import { computed, signal } from '@preact/signals';
import { parseYamlRecord } from '../../formats/yaml-record.ts';
import { type LabelLayout, readLabelLayout } from '../../records/bench/label-layout.ts';
import { LABEL_LAYOUTS } from '../../records/bench/label-layouts.ts';
import { usualPaper } from '../api/report.ts';

const OWN = 'sunperch.labels.own';
const CHOSEN = 'sunperch.labels.chosen';

const own = signal<LabelLayout | null>(ownKept());
const chosen = signal(kept(CHOSEN));

export const layoutName = (layout: LabelLayout): string => layout.name ?? 'own layout';

export const layouts = computed(() => (own.value === null ? LABEL_LAYOUTS : [...LABEL_LAYOUTS, own.value]));

/** The one that was chosen last; before that the first on the paper that is usual here. */
export const layoutInHand = computed((): LabelLayout => {
  const usual = usualPaper(navigator.language);
  return (
    layouts.value.find((layout) => layoutName(layout) === chosen.value) ??
    LABEL_LAYOUTS.find((layout) => layout.kind === 'sheet' && layout.paper === usual) ??
    LABEL_LAYOUTS[0]!
  );
});

export function chooseLayout(name: string): void {
  chosen.value = name;
  keep(CHOSEN, name);
}

/** Takes a layout from a file and chooses it. Throws UserError with all that is wrong in it. */
export function takeLayout(text: string, file: string): void {
  const read = readLabelLayout(parseYamlRecord(text, file));
  // Under a name of its own, so that it hides none of the others.
  const taken = LABEL_LAYOUTS.some(({ name }) => name === read.name);
  const layout = { ...read, name: read.name === undefined || taken ? file : read.name };
  own.value = layout;
  keep(OWN, JSON.stringify(layout));
  chooseLayout(layout.name);
}

function ownKept(): LabelLayout | null {
  const text = kept(OWN);
  try {
    return text === '' ? null : readLabelLayout(parseYamlRecord(text, 'kept in this browser'));
  } catch {
    return null;
  }
}

function kept(key: string): string {
  try {
    return localStorage.getItem(key) ?? '';
  } catch {
    return '';
  }
}

function keep(key: string, value: string): void {
  try {
    localStorage.setItem(key, value);
  } catch {
    // Without storage it holds for this visit.
  }
}
