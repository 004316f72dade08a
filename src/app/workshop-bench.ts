/** The bench in an exported folder: `bench/entries.jsonl`, one entry a line, and back. */
import { userError } from '../core/units/index.ts';
import { type Content, type Entry, entrySchema, keptFileOf } from '../records/bench/index.ts';
import { pathText } from '../records/index.ts';
import { EVIDENCE_ENDS } from './bench/evidence.ts';
import { emptyBench, fold } from './bench/state.ts';
import type { BenchStore } from './bench-port.ts';
import type { FileContent } from './ports.ts';
import type { WorkshopPorts } from './workshop-save.ts';

const FILE = 'bench/entries.jsonl';

/** Stands in the place of a unit's key: keys never leave the workshop. */
const WITHHELD = '(withheld: keys stay in the workshop that keeps them)';

/** What workshop.json says of the bench. */
interface About {
  readonly entries: number;
  readonly sha256: string;
  /** Files that entries name; left out where there are none. */
  readonly files?: number;
}

type KeptFile = Extract<Content, { readonly kind: 'evidence-kept' | 'drawing-kept' }>;

/** Files that entries name, each once. */
const filesOf = (entries: readonly Entry[]): readonly KeptFile[] => [
  ...new Map(
    entries.flatMap(({ content }) => {
      const file = keptFileOf(content);
      return file === undefined ? [] : [[file.sha256, file] as const];
    }),
  ).values(),
];

/** Where a file lies in the folder: it follows from its digest and what it is, never from the name that somebody gave it. */
const placeOf = ({ sha256, type }: KeptFile) => `bench/evidence/${sha256}.${EVIDENCE_ENDS[type]}`;

const withoutSecret = (entry: Entry): Entry =>
  entry.content.kind === 'secret-kept' ? { ...entry, content: { ...entry.content, value: WITHHELD } } : entry;

/** One entry, its fields always in this order. */
function lineOf(entry: Entry): string {
  const { seq, stream, number, at, by, token, corrects, content } = withoutSecret(entry);
  return JSON.stringify({ seq, stream, number, at, by, token, corrects, content });
}

const withheld = (entries: readonly Entry[]) =>
  entries.filter(({ content }) => content.kind === 'secret-kept' && content.value === WITHHELD).length;

export interface WrittenBench {
  /** Text of the entries, and the files that they name, by their place in the folder. */
  readonly files: ReadonlyMap<string, FileContent>;
  readonly about: About;
  readonly notes: readonly string[];
}

/** The files of the bench; undefined for one without entries. */
export function writeBench(
  ports: WorkshopPorts,
  entries: readonly Entry[],
  store: Pick<BenchStore, 'file'>,
): WrittenBench | undefined {
  if (entries.length === 0) return undefined;
  const text = entries.map((entry) => `${lineOf(entry)}\n`).join('');
  const secrets = entries.filter(({ content }) => content.kind === 'secret-kept').length;
  const notes =
    secrets === 0
      ? []
      : [`${keys(secrets)} of units ${secrets === 1 ? 'was' : 'were'} withheld: only \`workshop backup\` copies keys`];
  const kept = filesOf(entries);
  const bytesOf = (file: KeptFile) => async () => {
    const bytes = await store.file(file.sha256);
    if (bytes === undefined)
      throw userError('workshop-damaged', `the file ${file.name} is missing: go on with the newest backup`);
    return bytes;
  };
  return {
    files: new Map<string, FileContent>([[FILE, text], ...kept.map((file) => [placeOf(file), bytesOf(file)] as const)]),
    about: {
      entries: entries.length,
      sha256: ports.digest(text),
      ...(kept.length === 0 ? {} : { files: kept.length }),
    },
    notes,
  };
}

const keys = (count: number) => (count === 1 ? '1 key' : `${count} keys`);

/**
 * Reads the bench of a folder, each line checked and the whole record folded once.
 *
 * @param about what workshop.json says of the bench; undefined when it has none
 * @throws UserError with file and line when the file is damaged or was edited
 */
export async function readBench(ports: WorkshopPorts, folder: string, about: unknown): Promise<Entry[]> {
  if (about === undefined) return [];
  const file = `${folder}/${FILE}`;
  const text = await ports.readText(file);
  const lines = text.split('\n');
  if (lines.at(-1) === '') lines.pop();
  const numbers = new Map<string, number>();
  const state = emptyBench();
  const entries = lines.map((line, i): Entry => {
    const damaged = (message: string) => userError('damaged-export', message, { file, line: i + 1 });
    const entry = readLine(line, damaged);
    const number = (numbers.get(entry.stream) ?? 0) + 1;
    if (entry.seq !== i + 1) throw damaged(`entry ${entry.seq} stands where ${i + 1} belongs`);
    if (entry.number !== number) throw damaged(`number ${entry.number} of ${entry.stream} follows ${number - 1}`);
    numbers.set(entry.stream, number);
    try {
      fold(state, [entry]);
    } catch {
      throw damaged(`${entry.content.kind} of ${entry.stream} does not fit what stands before it`);
    }
    return entry;
  });
  const { entries: wanted, sha256 } = (about ?? {}) as Partial<About>;
  if (entries.length !== wanted)
    throw userError('damaged-export', `${entries.length} entries found, ${String(wanted)} were exported`, { file });
  if (ports.digest(text) !== sha256)
    throw userError('edited-export', 'the file is not as it was exported: undo the edit and import again', { file });
  // Each looked at before anything is kept; one at a time.
  for (const kept of filesOf(entries)) await readKept(ports, folder, kept);
  return entries;
}

/** Throws UserError when a file of an exported folder is missing or is not as it was. */
async function readKept(ports: WorkshopPorts, folder: string, kept: KeptFile): Promise<Uint8Array> {
  const file = `${folder}/${placeOf(kept)}`;
  const bytes = await ports.readBytes(file);
  if (ports.digest(bytes) === kept.sha256) return bytes;
  throw userError(
    'edited-export',
    `${kept.name} is not as it was exported: bring the right file back and import again`,
    {
      file,
    },
  );
}

/** Keeps the files that entries of a folder name; an entry comes only after its files. */
export async function keepFilesOf(
  ports: WorkshopPorts,
  folder: string,
  store: BenchStore,
  entries: readonly Entry[],
): Promise<void> {
  for (const kept of filesOf(entries)) await store.keepFile(await readKept(ports, folder, kept));
}

function readLine(line: string, damaged: (message: string) => Error): Entry {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    throw damaged('this line is no JSON: it was cut off or edited');
  }
  const read = entrySchema.safeParse(value);
  if (read.success) return value as Entry;
  const issue = read.error.issues[0]!;
  const field = pathText(issue.path as (string | number)[]);
  throw damaged(field === '' ? issue.message : `${field}: ${issue.message}`);
}

/**
 * What the folder's bench has more than the workshop's. One of the two must be the beginning of the other; the values of keys
 * are not compared.
 *
 * @throws UserError when they have gone different ways
 */
export function freshEntries(mine: readonly Entry[], imported: readonly Entry[], place: string): Entry[] {
  const differs = imported.findIndex((entry, i) => mine[i] !== undefined && lineOf(mine[i]) !== lineOf(entry));
  if (differs >= 0)
    throw userError(
      'histories-differ',
      `entry ${differs + 1} of the bench (${mine[differs]!.stream}) is another one than that of the folder (${imported[differs]!.stream}): nothing was imported. Two benches cannot be merged; import into a new workshop`,
      { file: place },
    );
  return imported.slice(mine.length);
}

/** What is to be known of entries that were added. */
export function benchNotes(added: readonly Entry[]): string[] {
  const secrets = withheld(added);
  if (secrets === 0) return [];
  return [
    `${keys(secrets)} of units ${secrets === 1 ? 'is' : 'are'} not in the folder, only that ${secrets === 1 ? 'it was' : 'they were'} kept: \`unit keep-key\` keeps ${secrets === 1 ? 'it' : 'them'} here`,
  ];
}
