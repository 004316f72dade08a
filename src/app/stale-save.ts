/** What someone is told whose save was not made from the newest revision: nothing is overwritten in silence. */
import type { Problem } from '../core/units/index.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import { type FieldChange, fieldChanges, valueText } from './field-changes.ts';
import type { RecordId, Revision } from './store-port.ts';

/** A field that the newest revision has otherwise than the one that the save was made from. */
export interface ChangeSince extends FieldChange {
  /** The value of the refused save, when it changes the same field. */
  readonly yours?: unknown;
  /** Both change the field, and not to the same value. */
  readonly clash: boolean;
}

export const idText = ({ kind, key }: RecordId): string => `${kind} ${key}`;

/** The parsed content; undefined for a revision that takes the record away. */
export function contentOf(revision: Revision): unknown {
  if (revision.content === null) return undefined;
  return parseYamlRecord(revision.content, `${idText(revision)}, revision ${revision.number}`).value;
}

export function changesSince(base: unknown, newest: unknown, mine: unknown): ChangeSince[] {
  const own = new Map(fieldChanges(base, mine).map((change) => [change.field, change]));
  return fieldChanges(base, newest).map((change) => {
    const same = own.get(change.field);
    if (same === undefined) return { ...change, clash: false };
    return {
      ...change,
      ...('after' in same ? { yours: same.after } : {}),
      clash: !Object.is(same.after, change.after),
    };
  });
}

/** At most this many fields are told one by one. */
const SHOWN = 30;

/** One problem that says what happened, and one for each field that has changed since. */
export function staleProblems(base: Revision, newest: Revision, mine: unknown): Problem[] {
  const place = { field: idText(newest) };
  const since = newest.note === '' ? newest.savedAt : `${newest.savedAt}, "${newest.note}"`;
  const head = `the save was made from revision ${base.number}, but`;
  if (newest.removed) {
    const message = `${head} revision ${newest.number} (${since}) took the record away: nothing was saved`;
    return [{ code: 'stale-save', message: `${message}; \`sunperch workshop undo\` brings it back`, place }];
  }
  const message = `${head} revision ${newest.number} is the newest (${since}): nothing was saved. Take over the changes below and save again with --from ${newest.number}`;
  const changes = base.removed ? [] : changesSince(contentOf(base), contentOf(newest), mine);
  if (changes.length === 0 && !base.removed)
    return [{ code: 'stale-save', message: `${message} (only comments or layout differ)`, place }];
  const fields = changes.slice(0, SHOWN).map((change): Problem => {
    const { before, after, yours, clash } = change;
    const both = clash ? `; yours: ${valueText(yours)}` : 'yours' in change ? '; yours is the same' : '';
    return {
      code: clash ? 'changed-by-both' : 'changed-since',
      message: `${valueText(before)} in revision ${base.number}, ${valueText(after)} in revision ${newest.number}${both}`,
      place: { field: `${newest.kind}.${change.field}` },
    };
  });
  const more = changes.length - fields.length;
  const rest: Problem[] = more > 0 ? [{ code: 'more', message: `and ${more} fields more`, place }] : [];
  return [{ code: 'stale-save', message, place }, ...fields, ...rest];
}

/** A file whose record is there already and differs, given without the revision that it was made from. */
export function unsaidProblem(newest: Revision, mine: unknown, file: string): Problem {
  const changes = fieldChanges(contentOf(newest), mine);
  const few = changes.slice(0, 3).map((c) => `${c.field}: ${valueText(c.before)} there, ${valueText(c.after)} here`);
  const more = changes.length > few.length ? `, and ${changes.length - few.length} more` : '';
  const what = few.length === 0 ? 'in comments or layout only' : `(${few.join('; ')}${more})`;
  return {
    code: 'revision-unsaid',
    message: `${idText(newest)} is in the workshop already, at revision ${newest.number}, and differs ${what}: nothing was saved. If the file was made from that revision, give --from ${newest.number}; if it is another record, give it a --key of its own`,
    place: { file },
  };
}
