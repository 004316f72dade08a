/** What differs between two contents of a record, field by field. */
import { isMapping, type Path, pathText, type RawMapping } from '../records/index.ts';

export interface FieldChange {
  /** Dotted path: `panel.tilt_deg`, `load.parts[2].duty`. */
  readonly field: string;
  /** Value before; absent when the field is new. */
  readonly before?: unknown;
  /** Value after; absent when the field is gone. */
  readonly after?: unknown;
}

/** Single values that differ, in the order of the fields before, then of the new ones. Groups and lists are followed to their ends. */
export function fieldChanges(before: unknown, after: unknown, path: Path = []): FieldChange[] {
  if (isMapping(before) && isMapping(after)) {
    const keys = [...Object.keys(before), ...Object.keys(after).filter((key) => !Object.hasOwn(before, key))];
    return keys.flatMap((key) => fieldChanges(own(before, key), own(after, key), [...path, key]));
  }
  if (Array.isArray(before) && Array.isArray(after)) {
    const longer = before.length > after.length ? before : after;
    return longer.flatMap((_, i) => fieldChanges(before[i], after[i], [...path, i]));
  }
  if (Object.is(before, after)) return [];
  const field = pathText(path);
  return [{ field, ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) }];
}

/** A key such as `constructor` that only one of the two has is not looked for further up. */
const own = (mapping: RawMapping, key: string) => (Object.hasOwn(mapping, key) ? mapping[key] : undefined);

/** A value as it stands in a sentence. */
export function valueText(value: unknown): string {
  if (value === undefined) return 'absent';
  const text = typeof value === 'number' ? String(value) : JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
