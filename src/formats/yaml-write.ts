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
 * With `before`, the text that the value was made from, only what differs is changed in it. Where single values differ, all
 * else stays letter by letter; where keys or entries come or go, comments and order stay, and spacing may be evened out.
 * Where that text cannot carry the value (it is no YAML, or has anchors), it is written anew. What comes out reads back as
 * the value: checked each time.
 */
export function writeYamlRecord(value: unknown, before?: string): string {
  const edited = before === undefined ? undefined : edit(value, before);
  return edited ?? new Document(value, { aliasDuplicateObjects: false }).toString(STYLE);
}

function edit(value: unknown, before: string): string | undefined {
  const document = parseDocument(before);
  const map = document.contents;
  if (document.errors.length > 0 || !isMap(map) || !isMapping(value) || hasAnchors(document)) return undefined;
  const carries = (text: string) => {
    try {
      return same(parseYamlRecord(text, 'record').value, value);
    } catch {
      return false;
    }
  };
  const splices: Splice[] = [];
  if (spliceAll(map, value, splices)) {
    const text = spliced(before, splices);
    if (carries(text)) return text;
  }
  mergeMap(document, map, value);
  const text = document.toString(STYLE);
  return carries(text) ? text : undefined;
}

function hasAnchors(document: Document): boolean {
  let found = false;
  visit(document, {
    Node: (_key, node) => {
      if (isAlias(node) || node.anchor !== undefined) found = true;
    },
  });
  return found;
}

/** A piece of the text and what takes its place. */
interface Splice {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

function spliced(text: string, splices: readonly Splice[]): string {
  let out = '';
  let at = 0;
  for (const { from, to, text: piece } of [...splices].sort((a, b) => a.from - b.from)) {
    out += text.slice(at, from) + piece;
    at = to;
  }
  return out + text.slice(at);
}

/** Gathers the single values that differ; false when anything else does. */
function spliceAll(node: unknown, value: unknown, splices: Splice[]): boolean {
  if (isMap(node) && isMapping(value))
    return (
      node.items.length === Object.keys(value).length &&
      node.items.every((pair) => {
        const key = keyText(pair.key);
        return Object.hasOwn(value, key) && spliceAll(pair.value, value[key], splices);
      })
    );
  if (isSeq(node) && Array.isArray(value))
    return node.items.length === value.length && node.items.every((item, i) => spliceAll(item, value[i], splices));
  if (!isScalar(node) || isMapping(value) || Array.isArray(value)) return false;
  if (Object.is(node.value, value)) return true;
  if (node.range == null) return false;
  splices.push({ from: node.range[0], to: node.range[1], text: scalarText(value) });
  return true;
}

/** A single value on one line, fit for any place. */
const scalarText = (value: unknown): string =>
  typeof value === 'string' &&
  /^[A-Za-z](?:[A-Za-z0-9 ]*[A-Za-z0-9])?$/.test(value) &&
  !/^(true|false|null|yes|no|on|off|y|n)$/i.test(value)
    ? value
    : JSON.stringify(value);

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
