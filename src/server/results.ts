/** Results by the hash of their inputs: in memory as long as there is room, and where a keeper is given also beyond a restart. */
import { createHash } from 'node:crypto';
import type { JobInput } from '../app/job-kinds.ts';
import type { YearOutcome, YearStrip } from '../core/energy/index.ts';

/** What is remembered of a result beside the result itself: of which records it is, and what it said. */
export interface ResultNote {
  readonly key: string;
  /** `kit/alder-3` and the revision, where kit and perch were taken from the workshop. */
  readonly kit?: { readonly id: string; readonly revision: number };
  readonly perch?: { readonly id: string; readonly revision: number };
  /** Serial of the unit of the bench that it is about. */
  readonly unit?: string;
  readonly command: JobInput['command'];
  readonly state?: YearOutcome['state'];
  readonly verdict?: string;
  readonly strip?: YearStrip;
}

/** Keeps results on the disk; absent: they last as long as the server runs. */
export interface ResultKeeper {
  notes(): Promise<readonly string[]>;
  read(key: string): Promise<string | undefined>;
  write(key: string, text: string, note: string): Promise<void>;
}

/** Characters of results in memory: some hundred years' results. */
const MEMORY_characters = 64e6;

export interface Results {
  /** The result's JSON. */
  get(key: string): Promise<string | undefined>;
  /** `lasting`: also beyond a restart, where there is a keeper. */
  put(key: string, text: string, note: ResultNote, lasting?: boolean): Promise<void>;
  /** Adds the records of another request that has the same result. */
  note(note: ResultNote): void;
  /** The last note for each pair of kit and perch. */
  latest(): readonly ResultNote[];
  /** The last note about a unit of the bench. */
  ofUnit(serial: string): ResultNote | undefined;
}

export async function createResults(keeper: ResultKeeper | undefined, log: (line: string) => void): Promise<Results> {
  const memory = new Map<string, string>();
  const last = new Map<string, ResultNote>();
  const units = new Map<string, ResultNote>();
  let held = 0;
  const remember = (key: string, text: string) => {
    held -= memory.get(key)?.length ?? 0;
    memory.delete(key);
    memory.set(key, text);
    held += text.length;
    for (const [old, its] of memory) {
      if (held <= MEMORY_characters || old === key) break;
      memory.delete(old);
      held -= its.length;
    }
  };
  const note = (entry: ResultNote) => {
    if (entry.unit !== undefined) units.set(entry.unit, entry);
    if (entry.command !== 'year' || entry.kit === undefined || entry.perch === undefined) return;
    const pair = `${entry.kit.id} ${entry.perch.id}`;
    last.delete(pair);
    last.set(pair, entry);
  };
  for (const text of (await keeper?.notes()) ?? []) {
    try {
      note(JSON.parse(text) as ResultNote);
    } catch {
      log('a note of a kept result is damaged and is passed over');
    }
  }
  return {
    async get(key) {
      const text = memory.get(key) ?? (await keeper?.read(key));
      if (text !== undefined) remember(key, text);
      return text;
    },
    async put(key, text, entry, lasting = true) {
      remember(key, text);
      note(entry);
      if (!lasting) return;
      try {
        await keeper?.write(key, text, JSON.stringify(entry));
      } catch (error) {
        log(`a result could not be kept: ${error instanceof Error ? error.message : String(error)}`);
      }
    },
    note,
    latest: () => [...last.values()],
    ofUnit: (serial) => units.get(serial),
  };
}

/** Hash of all that a result depends on, the program's version included; the order of keys does not matter. */
export function keyOf(input: JobInput, version: string): string {
  return createHash('sha256')
    .update(canonical({ version, ...input }))
    .digest('hex');
}

function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value) ?? 'null';
  const entries = Object.entries(value).filter(([, item]) => item !== undefined);
  entries.sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${entries.map(([key, item]) => `${JSON.stringify(key)}:${canonical(item)}`).join(',')}}`;
}

/** A result as JSON: typed arrays become lists, single-precision ones with nine digits, which bring them back exactly (IEEE 754-2019 section 5.12.2). */
export function resultText(result: unknown): string {
  return JSON.stringify(result, (_key, item: unknown) => {
    if (item instanceof Float32Array) return Array.from(item, (x) => Number(x.toPrecision(9)));
    if (ArrayBuffer.isView(item) && !(item instanceof DataView)) return Array.from(item as Float64Array);
    return item;
  });
}
