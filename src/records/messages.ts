/** From what the schema objects to, to sentences: what was found, why it is wrong, what would be right. */
import type * as z from 'zod';
import type { Path } from './loose.ts';
import { at, isMapping, pathText, show } from './loose.ts';
import { nearestWord } from './nearest.ts';
import { describeAt, homesOf, keysAt } from './schema-walk.ts';

export interface Complaint {
  readonly code: string;
  readonly path: Path;
  readonly message: string;
  /** The key itself is wrong, not its value. */
  readonly aboutKey?: boolean;
  /** Known key that was probably meant. */
  readonly meant?: string;
}

type Issue = z.core.$ZodIssue;

/** All complaints about `raw`, in the order in which the schema found them; what follows from an unknown key is left out. */
export function complaintsOf(issues: readonly Issue[], root: z.core.$ZodType, raw: unknown): Complaint[] {
  const all = issues.flatMap((issue) => sentence(issue, [], root, raw));
  const meant = new Set(
    all.flatMap(({ path, meant: key }) => (key === undefined ? [] : [pathText([...path.slice(0, -1), key])])),
  );
  return all.filter(({ code, path }) => !(code === 'missing' && meant.has(pathText(path))));
}

function sentence(issue: Issue, prefix: Path, root: z.core.$ZodType, raw: unknown): Complaint[] {
  const path = [...prefix, ...issue.path] as (string | number)[];
  const found = at(raw, ...path);
  const name = nameOf(path);
  switch (issue.code) {
    case 'invalid_union':
      return unionSentence(issue.errors, path, root, raw);
    case 'unrecognized_keys':
      return issue.keys.map((key) => unknownKey(key, path, root));
    case 'custom':
      return [{ code: String(issue.params?.['code'] ?? 'wrong'), path, message: issue.message }];
    case 'invalid_value':
      if (found === undefined) return [missing(path, root)];
      return [{ code: 'unknown-value', path, message: choice(name, found, issue.values) }];
    case 'invalid_type':
      if (issue.expected !== 'int') return [wrongType(issue.expected, path, found, root)];
  }
  return [{ code: 'out-of-range', path, message: `${name} is ${show(found)}: ${issue.message}` }];
}

/** The branch that fits the kind of value found speaks; when none does, the description of the field says what would. */
function unionSentence(errors: readonly Issue[][], path: Path, root: z.core.$ZodType, raw: unknown): Complaint[] {
  const wrongKind = (issue: Issue) =>
    issue.path.length === 0 &&
    (issue.code === 'invalid_value' || (issue.code === 'invalid_type' && issue.expected !== 'int'));
  const fitting = errors.filter((list) => !list.some(wrongKind)).sort((a, b) => a.length - b.length)[0];
  if (fitting !== undefined) return fitting.flatMap((issue) => sentence(issue, path, root, raw));
  const found = at(raw, ...path);
  const choices = errors.flat().find((issue) => issue.code === 'invalid_value' && issue.path.length === 0);
  if (found === undefined) return [missing(path, root)];
  const name = nameOf(path);
  const wanted = describeAt(root, path);
  if (typeof found === 'string' && choices?.code === 'invalid_value') {
    const near = nearestWord(found, choices.values.map(String));
    if (near !== undefined) return [{ code: 'unknown-value', path, message: choice(name, found, choices.values) }];
  }
  if (wanted === undefined || (typeof found === 'string' && numberIn(found) !== undefined))
    return [wrongType('number', path, found, root)];
  return [{ code: 'wrong-type', path, message: `${name} is ${show(found)}: wanted ${lower(wanted)}` }];
}

function wrongType(expected: string, path: Path, found: unknown, root: z.core.$ZodType): Complaint {
  if (found === undefined && path.length > 0) return missing(path, root);
  const name = nameOf(path);
  const key = path.findLast((part) => typeof part === 'string') ?? '';
  const say = (code: string, message: string): Complaint => ({ code, path, message });
  if (path.length === 0)
    return say('not-a-record', `the file holds ${show(found)}: wanted keys and values, one a line, e.g. name: Alder 3`);
  const wanted = describeAt(root, path);
  if (found === null || found === undefined)
    return say(
      'empty-value',
      `${name} is empty: ${wanted === undefined ? 'give a value, or delete the line' : lower(wanted)}`,
    );
  if (expected === 'number') {
    if (typeof found === 'number')
      return say('not-a-number', `${name} is ${Number.isNaN(found) ? 'NaN' : 'infinite'}: wanted a number`);
    const number = typeof found === 'string' ? numberIn(found) : undefined;
    const example = number === undefined ? '' : `, ${typeof path.at(-1) === 'string' ? `${key}: ` : ''}${number}`;
    return say(
      'wrong-type',
      `${name} is ${show(found)}: wanted a number alone, in the unit of the key's name${example}`,
    );
  }
  if (expected === 'boolean') return say('wrong-type', `${name} is ${show(found)}: wanted true or false`);
  if (expected === 'string') return say('wrong-type', `${name} is ${show(found)}: wanted a text; put it in quotes`);
  if (expected === 'array')
    return say('wrong-type', `${name} is ${show(found)}: wanted a list, each entry on a line that begins with "- "`);
  if (expected === 'object' && !isMapping(found)) {
    const keys = keysAt(root, path).filter((k) => !k.startsWith('$'));
    return say(
      'wrong-type',
      `${name} is ${show(found)}: wanted a group of keys (${keys.slice(0, 6).join(', ')}${keys.length > 6 ? ', …' : ''})`,
    );
  }
  return say('wrong-type', `${name} is ${show(found)}: wanted ${wanted === undefined ? expected : lower(wanted)}`);
}

function unknownKey(key: string, parent: Path, root: z.core.$ZodType): Complaint {
  const path = [...parent, key];
  const known = keysAt(root, parent).filter((k) => !k.startsWith('$'));
  const near = nearestWord(key, known);
  const where = parent.length === 0 ? 'this record' : nameOf(parent);
  const what = `${key.length > 60 ? `${key.slice(0, 57)}…` : key} is no key of ${where}`;
  const say = (mend: string, meant?: string): Complaint => ({
    code: 'unknown-key',
    path,
    message: `${what}: ${mend}`,
    aboutKey: true,
    ...(meant === undefined ? {} : { meant }),
  });
  if (near !== undefined) return say(`did you mean ${near}?`, near);
  const homes = homesOf(root, key);
  if (homes.length > 0)
    return say(`it belongs ${homes.map((home) => (home === '' ? 'at the top level' : `under ${home}`)).join(' or ')}`);
  return say(`known are ${known.join(', ')}`);
}

function missing(path: Path, root: z.core.$ZodType): Complaint {
  const wanted = describeAt(root, path);
  const keys = keysAt(root, path).filter((k) => !k.startsWith('$') && k !== 'name');
  const group = keys.length > 0 ? ` (keys: ${keys.slice(0, 6).join(', ')}${keys.length > 6 ? ', …' : ''})` : '';
  return {
    code: 'missing',
    path,
    message: `${nameOf(path)} is missing${wanted === undefined ? '' : `: ${lower(wanted)}`}${group}`,
  };
}

function choice(name: string, found: unknown, values: readonly unknown[]): string {
  const known = values.map(String);
  const near = typeof found === 'string' ? nearestWord(found, known) : undefined;
  const mend = near === undefined ? '' : `; did you mean ${near}?`;
  return `${name} is ${show(found)}: wanted ${known.join(', ')}${mend}`;
}

/** The number that stands at the head of a text: `3.2 W`, `3,2`, `3,400 mAh`. */
function numberIn(text: string): number | undefined {
  const match = /^\s*([+-]?\d[\d.,]*)/.exec(text);
  if (match?.[1] === undefined) return undefined;
  const digits = match[1].replace(/[.,]$/, '');
  const number = Number(/^[+-]?\d{1,3}(,\d{3})+$/.test(digits) ? digits.replaceAll(',', '') : digits.replace(',', '.'));
  return Number.isFinite(number) ? number : undefined;
}

/** `tilt_deg`, `panel[1]`, `ghi_kWh_m2_day[3]`: the last key with the positions that follow it. */
function nameOf(path: Path): string {
  const from = path.findLastIndex((part) => typeof part === 'string');
  return from < 0 ? pathText(path) : pathText(path.slice(from));
}

const lower = (text: string) => (/^[A-Z][a-z]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text);
