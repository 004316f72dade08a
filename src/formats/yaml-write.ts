/** A record's plain value as YAML text; where the record had a text before, its comments and order stay. */
import {
  Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  type Node,
  parseDocument,
  visit,
  type YAMLMap,
  type YAMLSeq,
} from 'yaml';
import { parseYamlRecord } from './yaml-record.ts';

type RawMapping = { [key: string]: unknown };
const isMapping = (value: unknown): value is RawMapping =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const STYLE = { lineWidth: 120, flowCollectionPadding: true } as const;

/**
 * YAML of a plain value (mappings, lists, texts, finite numbers, booleans, null).
 *
 * With `before`, the text that the value was made from: only what differs is changed in it, so that comments, order and the
 * way numbers are written stay. Where that text cannot carry the value (it is no YAML, or has anchors), it is written anew.
 * What comes out reads back as the value: checked each time.
 */
export function writeYamlRecord(value: unknown, before?: string): string {
  const edited = before === undefined ? undefined : edit(value, before);
  return edited ?? new Document(value, { aliasDuplicateObjects: false }).toString(STYLE);
}

function edit(value: unknown, before: string): string | undefined {
  const document = parseDocument(before);
  if (document.errors.length > 0 || !isMap(document.contents) || !isMapping(value)) return undefined;
  let anchored = false;
  visit(document, {
    Node: (_key, node) => {
      if (isAlias(node) || node.anchor !== undefined) anchored = true;
    },
  });
  if (anchored) return undefined;
  mergeMap(document, document.contents as YAMLMap, value);
  const text = document.toString(STYLE);
  try {
    return same(parseYamlRecord(text, 'record').value, value) ? text : undefined;
  } catch {
    return undefined;
  }
}

function mergeMap(document: Document, map: YAMLMap, value: RawMapping): void {
  const kept = map.items.filter((pair) => Object.hasOwn(value, keyText(pair.key)));
  map.items = kept;
  for (const [key, item] of Object.entries(value)) {
    const pair = map.items.find((p) => keyText(p.key) === key);
    if (pair === undefined) map.add(document.createPair(key, item));
    else pair.value = merged(document, pair.value as Node | null, item);
  }
}

function mergeList(document: Document, list: YAMLSeq, value: readonly unknown[]): void {
  list.items = value.map((item, i) => merged(document, (list.items[i] ?? null) as Node | null, item));
}

/** The node changed to the value where it is of its kind, else a new one. */
function merged(document: Document, node: Node | null, value: unknown): Node {
  if (isMap(node) && isMapping(value)) {
    mergeMap(document, node, value);
    return node;
  }
  if (isSeq(node) && Array.isArray(value)) {
    mergeList(document, node, value);
    return node;
  }
  if (isScalar(node) && !isMapping(value) && !Array.isArray(value)) {
    if (node.value !== value) {
      // The way of writing belongs to the old value where the two are of different kind.
      if (typeof node.value !== typeof value) delete node.type;
      delete node.source;
      delete node.format;
      delete node.minFractionDigits;
      node.value = value;
    }
    return node;
  }
  return document.createNode(value) as Node;
}

const keyText = (key: unknown) => String(isScalar(key) ? key.value : key);

function same(a: unknown, b: unknown): boolean {
  if (Array.isArray(a) && Array.isArray(b)) return a.length === b.length && a.every((item, i) => same(item, b[i]));
  if (isMapping(a) && isMapping(b)) {
    const keys = Object.keys(a);
    return keys.length === Object.keys(b).length && keys.every((key) => Object.hasOwn(b, key) && same(a[key], b[key]));
  }
  return Object.is(a, b) || a === b;
}
