/** Telling which record a file describes. */
import { has } from './loose.ts';

export type RecordKindName = 'kit' | 'perch' | 'net';

/** Keys that only one of the records has. */
const MARKS: Readonly<Record<RecordKindName, readonly string[]>> = {
  kit: ['panel', 'charger', 'cells', 'load', 'cutoff'],
  perch: ['latitude_deg', 'longitude_deg', 'climate', 'horizon', 'albedo'],
  net: ['members'],
};
const KINDS = Object.keys(MARKS) as RecordKindName[];

export const marksOf = (raw: unknown, kind: RecordKindName): number =>
  MARKS[kind].filter((key) => has(raw, key)).length;

/** The kind with the most of its own keys; undefined when none stands there. */
export function kindOf(raw: unknown): RecordKindName | undefined {
  const best = KINDS.reduce((a, b) => (marksOf(raw, b) > marksOf(raw, a) ? b : a));
  return marksOf(raw, best) > 0 ? best : undefined;
}

/** A sentence when the file is clearly another record than the one that is wanted: better than thirty about its fields. */
export function otherRecord(raw: unknown, wanted: RecordKindName): string | undefined {
  if (marksOf(raw, wanted) > 0) return undefined;
  const other = KINDS.find((kind) => kind !== wanted && marksOf(raw, kind) >= Math.min(2, MARKS[kind].length));
  if (other === undefined) return undefined;
  return `this file describes a ${other}, but a ${wanted} is wanted here: are the two files exchanged?`;
}
