/**
 * YAML or JSON text to plain values, with the line and column of every key and value.
 *
 * Nothing from outside may crash or stall the reader: the text is split into tokens first (iteratively), its depth and size are
 * checked, and only then are the tokens composed (recursively). A document nested 100,000 deep would otherwise end the process.
 */

import type { Node, Pair } from 'yaml';
import { Composer, isAlias, isMap, isScalar, isSeq, LineCounter, Parser } from 'yaml';
import type { Place, Problem } from '../core/units/index.ts';
import { UserError } from '../core/units/index.ts';
import { SYNTAX_SENTENCES } from './yaml-sentences.ts';

/** Path of a field: keys of mappings, zero-based positions in lists. */
export type RecordPath = readonly (string | number)[];
/** A mapping before any schema has seen it. */
type RawMapping = { [key: string]: unknown };

export interface YamlRecord {
  /** Mappings, lists, strings, numbers (NaN and infinities included), booleans and null. */
  readonly value: unknown;
  /** Place of the value at `path`, or of its nearest ancestor that stands in the text. */
  placeOf(path: RecordPath): Place;
  /** Place of the key that introduces `path`, or of its nearest ancestor. */
  placeOfKey(path: RecordPath): Place;
}

/** Limits of what is read. A kit or a perch takes a few kilobytes; each limit is far above need and far below harm. */
export const RECORD_LIMITS = { characters: 1_000_000, depth: 40, nodes: 100_000, aliases: 100, problems: 20 } as const;

/** `panel[0].tilt_deg` for `['panel', 0, 'tilt_deg']`. */
const pathText = (path: RecordPath) => path.join('.').replace(/(^|\.)(\d+)(?=\.|$)/g, '[$2]');

/** Under what a path stands in the tables: parted by zero bytes, which no key of a record has. */
const tableKey = (path: RecordPath) => path.join('\0');

interface Reading {
  readonly file: string;
  readonly lines: LineCounter;
  readonly values: Map<string, Place>;
  readonly keys: Map<string, Place>;
  readonly anchors: Map<string, unknown>;
  readonly problems: Problem[];
  nodes: number;
  aliases: number;
}

/**
 * Reads one YAML document or one JSON value.
 *
 * @param text contents of the file; a byte-order mark and any line ends are accepted
 * @param file name shown in messages
 * @throws UserError with all syntax problems (20 at most): tabs, keys that stand twice, several documents, too large, too deep, …
 */
export function parseYamlRecord(text: string, file: string): YamlRecord {
  if (text.length > RECORD_LIMITS.characters)
    throw fault('too-large', `${text.length} characters: a record has at most ${RECORD_LIMITS.characters}`, { file });
  const clean = withoutTabsOfJson(text.replace(/^\uFEFF/, '').replace(/\r(?!\n)/g, '\n'));
  if (clean.includes('\0'))
    throw fault('not-text', 'this is not a text file (it holds zero bytes): wanted YAML or JSON in UTF-8', { file });
  const lines = new LineCounter();
  const tokens = [...new Parser(lines.addNewLine).parse(clean)];
  measure(tokens as unknown as Token[], file);
  const documents = [...new Composer({ uniqueKeys: false, prettyErrors: false }).compose(tokens)];
  const first = documents[0];
  const reading: Reading = {
    file,
    lines,
    values: new Map(),
    keys: new Map(),
    anchors: new Map(),
    problems: [],
    nodes: 0,
    aliases: 0,
  };
  if (first === undefined || first.contents === null)
    throw fault('empty-file', 'the file is empty: wanted keys and values, one a line', { file, line: 1, column: 1 });
  for (const error of first.errors.slice(0, RECORD_LIMITS.problems)) {
    const sentence = SYNTAX_SENTENCES[error.code] ?? error.message;
    add(reading, 'yaml-syntax', sentence, placeAt(reading, error.pos[0]));
  }
  if (documents.length > 1) {
    const at = placeAt(reading, documents[1]?.range[0] ?? 0);
    add(reading, 'several-documents', 'a second document begins here: one file holds one record', at);
  }
  const value = walk(first.contents as Node, [], reading);
  if (reading.nodes > RECORD_LIMITS.nodes)
    add(reading, 'too-large', `aliases grow to more than ${RECORD_LIMITS.nodes} entries: write the values out`, {
      file,
    });
  if (reading.problems.length > 0) throw new UserError(reading.problems);
  const lookUp = (table: Map<string, Place>) => (path: RecordPath) => {
    for (let n = path.length; n >= 0; n--) {
      const place = table.get(tableKey(path.slice(0, n))) ?? reading.values.get(tableKey(path.slice(0, n)));
      if (place !== undefined) return place;
    }
    return { file };
  };
  return { value, placeOf: lookUp(reading.values), placeOfKey: lookUp(reading.keys) };
}

/** JSON may be indented with tabs, YAML may not: in a text that is JSON every tab is white space, so one blank keeps the columns. */
function withoutTabsOfJson(text: string): string {
  if (!text.includes('\t') || !/^\s*[{[]/.test(text)) return text;
  try {
    JSON.parse(text);
    return text.replaceAll('\t', ' ');
  } catch {
    return text;
  }
}

interface Token {
  readonly offset?: number;
  readonly items?: readonly { readonly key?: Token | null; readonly value?: Token | null }[];
  readonly value?: unknown;
}

/** Depth and count of the tokens, without recursion. */
function measure(tokens: readonly Token[], file: string): void {
  const stack: [Token, number][] = tokens.map((token) => [token, 0]);
  let nodes = 0;
  for (let entry = stack.pop(); entry !== undefined; entry = stack.pop()) {
    const [token, depth] = entry;
    nodes++;
    if (nodes > RECORD_LIMITS.nodes)
      throw fault('too-large', `more than ${RECORD_LIMITS.nodes} entries: this is no kit or perch`, { file });
    if (depth > RECORD_LIMITS.depth)
      throw fault('too-deep', `nested more than ${RECORD_LIMITS.depth} levels deep: a record needs six`, { file });
    if (token.items !== undefined) {
      for (const { key, value } of token.items) {
        if (key) stack.push([key, depth + 1]);
        if (value) stack.push([value, depth + 1]);
      }
    } else if (typeof token.value === 'object' && token.value !== null) stack.push([token.value as Token, depth + 1]);
  }
}

function walk(node: Node | null, path: RecordPath, reading: Reading): unknown {
  if (++reading.nodes > RECORD_LIMITS.nodes) return null;
  if (node === null) return null;
  if (path.length > RECORD_LIMITS.depth) return null;
  const place = placeAt(reading, node.range?.[0] ?? 0);
  reading.values.set(tableKey(path), place);
  let value: unknown = null;
  if (isAlias(node)) {
    if (++reading.aliases > RECORD_LIMITS.aliases) {
      if (reading.aliases === RECORD_LIMITS.aliases + 1)
        add(reading, 'too-many-aliases', `more than ${RECORD_LIMITS.aliases} aliases: write the values out`, place);
      return null;
    }
    if (!reading.anchors.has(node.source))
      add(
        reading,
        'unknown-alias',
        `*${node.source} names no anchor before it: a text that begins with * stands in quotes`,
        place,
      );
    return copyRaw(reading.anchors.get(node.source), reading);
  }
  if (isScalar(node)) {
    value = node.value;
    if (typeof value === 'bigint') value = Number(value);
    if (value !== null && typeof value === 'object') {
      add(
        reading,
        'unknown-type',
        `${node.source ?? 'this value'} is read as a special type: write it in quotes`,
        place,
      );
      value = null;
    }
  } else if (isSeq(node)) {
    value = node.items.map((item, i) => walk(item as Node | null, [...path, i], reading));
  } else if (isMap(node)) {
    const mapping: RawMapping = {};
    for (const pair of node.items) addPair(mapping, pair as Pair<Node, Node | null>, path, reading);
    value = mapping;
  }
  if (node.tag?.startsWith('!') === true)
    add(reading, 'unknown-type', `${node.tag} is a tag that has no meaning here: leave it out`, place);
  if (node.anchor !== undefined) reading.anchors.set(node.anchor, value);
  return value;
}

function addPair(mapping: RawMapping, pair: Pair<Node | null, Node | null>, path: RecordPath, reading: Reading): void {
  const place = placeAt(reading, pair.key?.range?.[0] ?? pair.value?.range?.[0] ?? 0);
  if (!isScalar(pair.key) || pair.key.value === null) {
    add(reading, 'bad-key', 'a key is a single word before a colon', place);
    return;
  }
  const key = String(pair.key.value);
  const at = [...path, key];
  if (key === '__proto__') {
    add(reading, 'unknown-key', '__proto__ is no key of a record', place);
    return;
  }
  const before = reading.keys.get(tableKey(at));
  if (before !== undefined)
    add(
      reading,
      'duplicate-key',
      `${key} stands twice: first on line ${before.line}; delete one of the two`,
      place,
      at,
    );
  else reading.keys.set(tableKey(at), place);
  mapping[key] = walk(pair.value, at, reading);
}

/** A value of its own for each alias, counted against the limit on nodes so that aliases of aliases cannot grow without bound. */
function copyRaw(value: unknown, reading: Reading): unknown {
  if (++reading.nodes > RECORD_LIMITS.nodes) return null;
  if (Array.isArray(value)) return value.map((item) => copyRaw(item, reading));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, copyRaw(item, reading)]));
}

function placeAt(reading: Reading, offset: number): Place {
  const { line, col } = reading.lines.linePos(offset);
  return { file: reading.file, line: Math.max(1, line), column: Math.max(1, col) };
}

function add(reading: Reading, code: string, message: string, place: Place, path?: RecordPath): void {
  if (reading.problems.length >= RECORD_LIMITS.problems) return;
  reading.problems.push({ code, message, place: path === undefined ? place : { ...place, field: pathText(path) } });
}

function fault(code: string, message: string, place: Place): UserError {
  return new UserError({ code, message, place });
}
