/** Edits that were left without being saved: they wait, for this visit, until one comes back to the record. */

export interface Draft {
  readonly text: string;
  /** The revision that the edit began from: a save is told when others have saved since. */
  readonly from: number;
}

const drafts = new Map<string, Draft>();

export const draftOf = (id: string): Draft | undefined => drafts.get(id);

export function keepDraft(id: string, draft: Draft | undefined): void {
  if (draft === undefined) drafts.delete(id);
  else drafts.set(id, draft);
}
