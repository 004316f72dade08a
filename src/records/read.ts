/** From a parsed file to a valid record, with the assumptions made; or to all that is wrong with it, each with its place. */
import type * as z from 'zod';
import type { Place, Problem } from '../core/units/index.ts';
import { UserError } from '../core/units/index.ts';
import type { Assumption } from './assumptions.ts';
import { deriveKit, derivePerch, partAssumptions, schemaDefaults } from './assumptions.ts';
import type { Expanded } from './expand.ts';
import { expandKit } from './expand.ts';
import type { Finding } from './fields.ts';
import type { RecordKindName } from './kind.ts';
import { otherRecord } from './kind.ts';
import type { Kit } from './kit.ts';
import { kitSchema } from './kit.ts';
import { kitFindings } from './kit-checks.ts';
import type { Path } from './loose.ts';
import { copyOf, pathText } from './loose.ts';
import type { Complaint } from './messages.ts';
import { complaintsOf } from './messages.ts';
import type { Net } from './net.ts';
import { netFindings, netSchema } from './net.ts';
import type { Setting } from './override.ts';
import { applySettings } from './override.ts';
import type { Perch } from './perch.ts';
import { perchSchemaFor } from './perch.ts';
import type { PerchContext } from './perch-checks.ts';
import { perchFindings } from './perch-checks.ts';

/** A parsed file: its plain value, and where each field stands. The reader of YAML and JSON in `formats` gives one. */
export interface RecordSource {
  readonly value: unknown;
  placeOf(path: Path): Place;
  placeOfKey(path: Path): Place;
}

export interface ReadRecord<T> {
  readonly value: T;
  readonly assumptions: readonly Assumption[];
  /** The file as it stands, for reading again with other settings. */
  readonly source: RecordSource;
}

export interface ReadOptions {
  /** `--set` of the command line; those of other records are passed over. */
  readonly set?: readonly Setting[];
}

interface Kind<T> {
  readonly name: RecordKindName;
  readonly schema: z.ZodType<T>;
  readonly check: (raw: unknown) => readonly Finding[];
  readonly expand: (raw: unknown) => Expanded;
  readonly derive: (value: T) => Assumption[];
}

/** At most this many problems are shown; more follow from the same slip as a rule. */
const SHOWN = 30;

/**
 * A kit from its parsed file: settings applied, generic parts filled in, validated, defaults told.
 *
 * @throws UserError with every problem of the file, each with file, line, column and field
 */
export function readKit(source: RecordSource, options: ReadOptions = {}): ReadRecord<Kit> {
  const kind = { name: 'kit', schema: kitSchema, check: kitFindings, expand: expandKit, derive: deriveKit } as const;
  const record = read(kind, source, options);
  const flat = record.value.charger.type === 'flat';
  const applies = ({ field }: Assumption) => flat || !field.endsWith('.temperatureCoefficient_pct_K');
  return { ...record, assumptions: assumptionsIn(record.value.mode, record.assumptions).filter(applies) };
}

/**
 * A perch from its parsed file. With `weather: true` place and climate may be absent: they come from the weather file.
 *
 * @throws UserError with every problem of the file, each with file, line, column and field
 */
export function readPerch(source: RecordSource, options: ReadOptions & PerchContext = {}): ReadRecord<Perch> {
  const context: PerchContext = { weather: options.weather === true };
  const check = (value: unknown) => perchFindings(value, context);
  const kind = {
    name: 'perch',
    schema: perchSchemaFor(context),
    check,
    expand: asItStands,
    derive: derivePerch,
  } as const;
  return read(kind, source, options);
}

/**
 * A net from its parsed file.
 *
 * @throws UserError with every problem of the file, each with file, line, column and field
 */
export function readNet(source: RecordSource): ReadRecord<Net> {
  const kind = { name: 'net', schema: netSchema, check: netFindings, expand: asItStands, derive: () => [] } as const;
  return read(kind, source, {});
}

/**
 * Any other file by its schema.
 *
 * @param name what the file describes, for messages
 * @throws UserError with every problem of the file, each with file, line, column and field
 */
export function readFields<T>(
  source: RecordSource,
  name: string,
  schema: z.ZodType<T>,
  check: (raw: unknown) => readonly Finding[] = () => [],
): T {
  const result = schema.safeParse(source.value);
  if (result.success) return result.data;
  const complaints = complaintsOf(result.error.issues, schema, source.value);
  for (const finding of check(source.value))
    if (!complaints.some((c) => c.code === finding.code && pathText(c.path) === pathText(finding.path)))
      complaints.push(finding);
  throw userErrorOf(complaints, name, source, []);
}

/** No generic parts stand in a perch or a net. */
const asItStands = (value: unknown): Expanded => ({ value: copyOf(value), used: [], complaints: [] });

function read<T>(kind: Kind<T>, source: RecordSource, options: ReadOptions): ReadRecord<T> {
  const { raw, touched } = applySettings(source.value, options.set ?? [], kind.name);
  const other = otherRecord(raw, kind.name);
  if (other !== undefined)
    throw new UserError({ code: 'wrong-record', message: other, place: { ...source.placeOf([]), field: kind.name } });
  const expanded = kind.expand(raw);
  const result = kind.schema.safeParse(expanded.value);
  const complaints = [...expanded.complaints];
  if (!result.success) {
    const found = complaintsOf(result.error.issues, kind.schema, expanded.value);
    // The schema leaves out its checks over several fields when some field is wrong in kind: all is to be told at once.
    for (const finding of kind.check(expanded.value)) {
      const same = (c: Complaint) => c.code === finding.code && pathText(c.path) === pathText(finding.path);
      if (!found.some(same)) found.push(finding);
    }
    complaints.push(...withoutConsequences(found, expanded.complaints));
  }
  if (complaints.length > 0 || !result.success) throw userErrorOf(complaints, kind.name, source, touched);
  const derived = kind.derive(result.data);
  const assumptions = [
    ...partAssumptions(expanded.used, kind.name),
    ...schemaDefaults(kind.schema, expanded.value, kind.name),
    ...derived,
  ];
  return { value: result.data, assumptions, source };
}

/** Without what only follows from another complaint: fields missing because a part is not known or a key is misspelt. */
function withoutConsequences(found: readonly Complaint[], parts: readonly Complaint[]): Complaint[] {
  const unfilled = parts.map(({ path }) => pathText(path.slice(0, -1)));
  const misspelt = found.flatMap(({ path, meant }) => (meant === undefined ? [] : [pathText(path.slice(0, -1))]));
  return found.filter(({ code, path }) => {
    const where = pathText(path);
    if (!/missing|incomplete/.test(code)) return true;
    return !unfilled.some((at) => where === at || where.startsWith(`${at}.`)) && !misspelt.includes(where);
  });
}

function userErrorOf(
  complaints: readonly Complaint[],
  kind: string,
  source: RecordSource,
  touched: readonly Path[],
): UserError {
  const problems: Problem[] = complaints.map(({ code, path, message, aboutKey }) => {
    const set = touched.some((from) => from.every((part, i) => path[i] === part));
    const place = set ? { file: '--set' } : aboutKey ? source.placeOfKey(path) : source.placeOf(path);
    const field = path.length === 0 ? kind : `${kind}.${pathText(path)}`;
    return { code, message, place: { ...place, field } };
  });
  problems.sort(
    (a, b) => (a.place?.line ?? 0) - (b.place?.line ?? 0) || (a.place?.column ?? 0) - (b.place?.column ?? 0),
  );
  const more = problems.length - SHOWN;
  if (more <= 0) return new UserError(problems);
  const rest: Problem = { code: 'more', message: `and ${more} more: mend the first ones and try again` };
  return new UserError([...problems.slice(0, SHOWN), rest]);
}

/** The assumptions that matter in a mode: plain mode leaves out what it does not compute. */
export function assumptionsIn(mode: Kit['mode'], list: readonly Assumption[]): Assumption[] {
  return list.filter(({ only }) => only === undefined || only === mode);
}
