import { type FieldChange, valueText } from '../../app/field-changes.ts';
import type { Listing } from '../../app/store-port.ts';
import { say, table } from '../print.ts';

const stateOf = (r: Listing) => (r.removed ? 'removed' : r.restores === null ? '' : `as revision ${r.restores}`);

/** Time of a save to the minute, UTC. */
const time = (iso: string) => iso.slice(0, 16).replace('T', ' ');

export function sayList(records: readonly Listing[]): void {
  if (records.length === 0) {
    say('Nothing is in the workshop yet. `sunperch workshop add FILE…` saves kits, perches and nets in it.');
    return;
  }
  const rows = records.map((r) => [r.kind, r.key, r.name, String(r.number), time(r.savedAt), r.note || stateOf(r)]);
  for (const line of table(['kind', 'key', 'name', 'revision', 'saved, UTC', 'note'], rows, [0, 1, 2, 4, 5])) say(line);
}

export function sayHistory(revisions: readonly (Listing & { readonly changes: readonly FieldChange[] })[]): void {
  for (const r of revisions) {
    const tail = [stateOf(r), r.note].filter((part) => part !== '').join('; ');
    say(`Revision ${r.number}, ${time(r.savedAt)} UTC${tail === '' ? '' : `: ${tail}`}`);
    sayChanges(r.changes);
  }
}

export function sayChanges(changes: readonly FieldChange[]): void {
  for (const { field, before, after } of changes) say(`  ${field}: ${valueText(before)} -> ${valueText(after)}`);
}
