/** What reading a table takes: cells by the field that they are read as, and the bench on trial. */
import { parseAmount } from '../../core/money/index.ts';
import { UserError, userError } from '../../core/units/index.ts';
import { type NumberStyle, plainNumber } from '../../formats/csv-numbers.ts';
import { type Content, contentSchema, type Entry } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import type { BenchState } from './state.ts';

/** A row by its fields; a field that no column is read as is empty. */
export interface Cells {
  text(field: string): string;
  /** Undefined where empty. @throws UserError when it is no number, or one that can be read in two ways */
  number(field: string): number | undefined;
  /** A number with a point as text, and any other text as it is. */
  plain(field: string): string;
  /** A sum in the smallest unit; undefined where empty. */
  sum(field: string, currency: string): number | undefined;
  yes(field: string): boolean;
  /** UTC; undefined where empty. */
  moment(field: string): string | undefined;
}

export interface RowRead {
  readonly preview: Readonly<Record<string, unknown>>;
  /** None where it stands there so already, and for rows of a group until its end. */
  readonly deeds: readonly Deed[];
  /** What this row says comes with another table. */
  readonly elsewhere?: boolean;
  /** Belongs to a group that is decided at the end. */
  readonly grouped?: boolean;
}

export interface Ended {
  readonly deeds: readonly Deed[];
  /** Rows of groups that stand there so already. */
  readonly same: number;
  readonly problems: readonly { readonly row: number; readonly message: string }[];
}

export interface Reader {
  /** @throws UserError for a row that is wrong */
  row(cells: Cells, row: number): RowRead;
  end?(): Ended;
}

export interface Reading {
  /** The bench on trial: what earlier rows bring stands in it. */
  readonly state: BenchState;
  /** Puts deeds on trial. */
  take(deeds: readonly Deed[]): void;
  /** Everything that stands in the workshop; empty for tables that do not ask for it. */
  readonly entries: readonly Entry[];
}

export interface TableIn {
  readonly fields: readonly string[];
  /** Fields that a column must be read for. */
  readonly needs: readonly string[];
  /** Compares with every entry, so that it must be given all of them. */
  readonly wantsEntries?: true;
  begin(reading: Reading): Reader;
}

/** @param moment reads a moment of a field, UTC */
export function cellsOf(
  text: (field: string) => string,
  style: NumberStyle,
  moment: (text: string, field: string) => string,
): Cells {
  const named = <T>(field: string, work: () => T): T => {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      throw new UserError(error.problems.map((p) => ({ ...p, message: `${field}: ${p.message}` })));
    }
  };
  const trimmed = (field: string) => text(field).trim();
  return {
    text: trimmed,
    number(field) {
      if (trimmed(field) === '') return undefined;
      const plain = named(field, () => plainNumber(text(field), style));
      if (plain === undefined) throw userError('import-row', `${field} "${trimmed(field)}" is no number`);
      return Number(plain);
    },
    plain: (field) => named(field, () => plainNumber(text(field), style)) ?? trimmed(field),
    sum(field, currency) {
      if (trimmed(field) === '') return undefined;
      return named(field, () => parseAmount(plainNumber(text(field), style) ?? trimmed(field), currency).minor);
    },
    yes(field) {
      const word = trimmed(field).toLowerCase();
      if (['yes', 'y', 'true', '1'].includes(word)) return true;
      if (['', 'no', 'n', 'false', '0'].includes(word)) return false;
      throw userError('import-row', `${field} "${trimmed(field)}": yes or no is wanted`);
    },
    moment: (field) => (trimmed(field) === '' ? undefined : moment(trimmed(field), field)),
  };
}

/** Fields that are told, by their names here; those that are empty are left out. */
export const told = <T>(fields: Readonly<Record<string, T | undefined>>): Record<string, T> =>
  Object.fromEntries(Object.entries(fields).filter(([, v]) => v !== undefined && v !== '')) as Record<string, T>;

/** A moment that has to be there. */
export function momentOf(cells: Cells, field: string): string {
  const moment = cells.moment(field);
  if (moment !== undefined) return moment;
  throw userError('import-at', `${field} is empty: when it happened, such as 2026-10-01T08:30+02:00`);
}

/** What the records' own rules have against it, in one sentence. */
export function sound(content: unknown): Content {
  const read = contentSchema.safeParse(content);
  if (read.success) return read.data;
  throw userError(
    'import-row',
    read.error.issues.map((i) => (i.path.length === 0 ? i.message : `${i.path.join('.')}: ${i.message}`)).join('; '),
  );
}

/** The content with the moment at which it happened. */
export const happened = (deed: Deed, happenedAt: string | undefined): Deed =>
  happenedAt === undefined ? deed : { ...deed, content: sound({ ...deed.content, happenedAt }) };

/** Texts parted by spaces. */
export const wordsOf = (text: string): string[] => text.split(/[\s,;]+/).filter(Boolean);

/**
 * Keys that are looked up with their likely slips: each takes a look at all that there are, and many wrong ones are another
 * table. So many looks in all, and at least one key.
 */
const MOST_LOOKS = 20_000;

/**
 * Finds by key what rows name; the first that are missing are told with what was likely meant.
 *
 * @param find throws UserError in a sentence
 */
export function finder<T>(
  all: ReadonlyMap<string, T>,
  what: string,
  find: (key: string) => unknown,
): (key: string) => T {
  let slips = 0;
  return (key) => {
    const value = all.get(key);
    if (value !== undefined) return value;
    if (key !== '' && ++slips <= Math.max(1, MOST_LOOKS / all.size)) find(key);
    throw userError(`no-such-${what}`, key === '' ? `${what} is empty` : `there is no ${what} ${key} in this workshop`);
  };
}

/** A key of small letters, digits, dots and hyphens. */
export function keyOf(cells: Cells, field = 'key'): string {
  const key = cells.text(field);
  if (/^[a-z0-9](?:[a-z0-9.-]{0,62}[a-z0-9])?$/.test(key)) return key;
  throw userError('import-key', `${field} "${key}": 1 to 64 small letters, digits, dots and hyphens are wanted`);
}

/** Says where a key or a pair stands twice. */
export function onlyOnce(what: string): (key: string, row: number) => void {
  const seen = new Map<string, number>();
  return (key, row) => {
    const before = seen.get(key);
    if (before !== undefined) throw userError('import-twice', `${what} ${key} stands twice: in row ${before} already`);
    seen.set(key, row);
  };
}

/** Whether two values are the same in every part. */
export const alike = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);
