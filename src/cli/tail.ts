import { fold, say } from './print.ts';

/** A sentence or two, folded. */
export function sayFolded(text: string): void {
  for (const line of fold(text)) say(line);
}

/** Folded sentences under a title; nothing when there are none. */
export function sayNotes(notes: readonly string[], title: string): void {
  if (notes.length === 0) return;
  say();
  say(`${title}:`);
  for (const note of notes) for (const line of fold(note, '  ')) say(line);
}

/** What the answer takes for granted. */
export function sayAssumptions(assumptions: readonly { field: string; value: string; why: string }[]): void {
  const texts = assumptions.map(({ field, value, why }) => `${field}: ${value} (${why})`);
  sayNotes(texts, 'Assumed, since it is not said');
}

export function sayCautions(cautions: readonly { text: string }[]): void {
  const texts = cautions.map(({ text }) => text);
  sayNotes(texts, 'Cautions');
}
