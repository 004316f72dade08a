/** Files that belong to a perch and stay in this browser: ground cover and measured links. */
import type { FileInput } from '../../server/api.ts';

const DATABASE = 'sunperch';
const STORE = 'files';

export type FileKind = 'cover' | 'measured';

let opened: Promise<IDBDatabase> | undefined;

function database(): Promise<IDBDatabase> {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(DATABASE, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opened;
}

const ended = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

/** The file kept for a perch; null where there is none, or the browser keeps nothing. */
export async function keptFile(kind: FileKind, perch: string): Promise<FileInput | null> {
  try {
    const found: unknown = await ended(
      (await database()).transaction(STORE).objectStore(STORE).get(`${kind} ${perch}`),
    );
    const { name, text } = (found ?? {}) as Partial<FileInput>;
    return typeof name === 'string' && typeof text === 'string' ? { name, text } : null;
  } catch {
    return null;
  }
}

/** Keeps a file for a perch, or lets it go. Without storage it holds for this visit. */
export async function keepFile(kind: FileKind, perch: string, file: FileInput | null): Promise<void> {
  try {
    const store = (await database()).transaction(STORE, 'readwrite').objectStore(STORE);
    const key = `${kind} ${perch}`;
    if (file === null) await ended(store.delete(key));
    else await ended(store.put(file, key));
  } catch {
    // Full or switched off.
  }
}
