/** From the codes of the two databases to sentences with a mend. */
import { UserError, userError } from '../core/units/index.ts';

const SQLITE: Readonly<Record<string, readonly [code: string, sentence: string]>> = {
  SQLITE_BUSY: ['workshop-busy', 'another program holds it for more than 5 s: close that one, or try again'],
  SQLITE_LOCKED: ['workshop-busy', 'another program holds it: close that one, or try again'],
  SQLITE_READONLY: ['workshop-read-only', 'file or folder may not be written here: change its permissions, or copy it'],
  SQLITE_PERM: ['workshop-read-only', 'file or folder may not be written here: change its permissions, or copy it'],
  SQLITE_FULL: ['disk-full', 'the disk is full: nothing of this save was kept; make room and try again'],
  SQLITE_CANTOPEN: [
    'workshop-unopenable',
    'it cannot be opened or made: does its folder exist, and may it be written? (a lock file stands beside it while it is open)',
  ],
  SQLITE_IOERR: ['disk-error', 'the disk gave an error: nothing of this save was kept; copy the file to another disk'],
  SQLITE_CORRUPT: ['workshop-damaged', 'the file is damaged: keep it, and go on with the newest backup'],
  // Our statements are the same each time: what they do not find is not there any more.
  SQLITE_ERROR: [
    'workshop-damaged',
    'its tables are not as they should be: keep the file, and go on with the newest backup',
  ],
  SQLITE_NOTADB: ['not-a-workshop', 'this is not a workshop file: is the name right?'],
};

const POSTGRES: Readonly<Record<string, readonly [code: string, sentence: string]>> = {
  ECONNREFUSED: ['database-unreachable', 'nothing answers there: does the server run, are host and port right?'],
  ENOTFOUND: ['database-unreachable', 'no such host is known: is its name right?'],
  EAI_AGAIN: ['database-unreachable', 'the host could not be looked up: is there a network?'],
  ETIMEDOUT: ['database-unreachable', 'nothing answered in time: is the host right, does a firewall stand between?'],
  ECONNRESET: ['database-lost', 'the connection broke: ask for the state before saving again'],
  '57P01': ['database-lost', 'the server was shut down: ask for the state before saving again'],
  '57P03': ['database-unreachable', 'the server is starting or stopping: try again'],
  '28P01': ['database-refused', 'user or password is wrong'],
  '28000': ['database-refused', 'the server does not let this user in from here'],
  '3D000': ['no-database', 'there is no database of that name: make it first, e.g. with createdb'],
  '42501': ['database-refused', 'this user may not do that: it must be allowed to create in the database'],
  '53100': ['disk-full', "the server's disk is full: nothing of this save was kept"],
  '53300': ['database-busy', 'the server has no connection left: try again'],
  '25006': ['workshop-read-only', 'the server takes no changes now (read-only)'],
};

/** Runs `work`; what goes wrong in the database becomes a UserError about `place`, anything else stays as it is. */
export async function told<T>(place: string, work: () => Promise<T> | T): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw inWords(error, place);
  }
}

function inWords(error: unknown, place: string): unknown {
  if (error instanceof UserError || !(error instanceof Error)) return error;
  const found = entryOf(error);
  if (found === undefined) return error;
  const [code, sentence] = found;
  return userError(code, code === 'workshop-damaged' ? `${sentence} (${error.message})` : sentence, { file: place });
}

function entryOf(error: Error & { code?: unknown }): readonly [string, string] | undefined {
  const { code, message } = error;
  if (message === 'timeout exceeded when trying to connect') return POSTGRES['ETIMEDOUT'];
  if (/^Connection terminated/.test(message)) return POSTGRES['ECONNRESET'];
  if (typeof code !== 'string') return undefined;
  // SQLITE_IOERR_WRITE and the like are kinds of SQLITE_IOERR.
  return POSTGRES[code] ?? SQLITE[code] ?? SQLITE[code.split('_').slice(0, 2).join('_')];
}
