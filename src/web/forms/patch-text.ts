/** Changes single fields of a YAML text and leaves everything else as its maker wrote it, comments too. */
import { isCollection, isMap, parseDocument } from 'yaml';
import type { Path } from '../../records/loose.ts';

type Mapping = Record<string, unknown>;
const isMapping = (value: unknown): value is Mapping =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** One field put to a value, or taken away with undefined. */
export interface Edit {
  readonly path: Path;
  readonly value: unknown;
}

/** What has to be done to one value so that it becomes the other. Lists of another length are replaced whole. */
export function editsBetween(before: unknown, after: unknown, path: Path = []): Edit[] {
  if (isMapping(before) && isMapping(after)) {
    const keys = [...new Set([...Object.keys(before), ...Object.keys(after)])];
    return keys.flatMap((key) => editsBetween(before[key], after[key], [...path, key]));
  }
  if (Array.isArray(before) && Array.isArray(after) && before.length === after.length)
    return before.flatMap((item, i) => editsBetween(item, after[i], [...path, i]));
  return JSON.stringify(before) === JSON.stringify(after) ? [] : [{ path, value: after }];
}

/** The text with the edits made. Throws what the parser throws when the text is no YAML. */
export function patchText(text: string, edits: readonly Edit[]): string {
  if (edits.length === 0) return text;
  const document = parseDocument(text);
  if (document.errors.length > 0) throw document.errors[0]!;
  for (const { path, value } of edits) {
    if (value === undefined) {
      document.deleteIn(path);
      // A group that has become empty goes too.
      for (let depth = path.length - 1; depth > 0; depth--) {
        const parent = document.getIn(path.slice(0, depth), true);
        if (!isMap(parent) || parent.items.length > 0) break;
        document.deleteIn(path.slice(0, depth));
      }
      continue;
    }
    // A field inside a plain value, such as `climate: nearest`, needs a group in its place.
    for (let depth = 1; depth < path.length; depth++) {
      const parent = document.getIn(path.slice(0, depth), true);
      if (parent !== undefined && !isCollection(parent)) {
        document.setIn(path.slice(0, depth), document.createNode(typeof path[depth] === 'number' ? [] : {}));
        break;
      }
    }
    document.setIn(path, value);
  }
  return document.toString({ lineWidth: 0, flowCollectionPadding: true });
}
