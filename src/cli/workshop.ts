/** Which workshop a command works on, and the real outside for it. */
import type { WorkshopStore } from '../app/store-port.ts';
import type { WorkshopPorts } from '../app/workshop-save.ts';

const DEFAULT_FILE = './workshop.sunperch';

export interface WorkshopOptions {
  readonly workshop?: string;
  readonly json?: boolean;
}

/** `--workshop`, else the server that SUNPERCH_DATABASE names, else the file of the usual name. */
export function workshopOf(options: WorkshopOptions): string {
  return options.workshop ?? (process.env['SUNPERCH_DATABASE'] || DEFAULT_FILE);
}

const now = () => new Date().toISOString();

/** Opens the workshop, runs `work` and closes it whatever happens. */
export async function withWorkshop<T>(
  options: WorkshopOptions,
  work: (store: WorkshopStore, ports: WorkshopPorts) => Promise<T>,
  create = false,
): Promise<T> {
  const [{ openStore }, { readBytes, readText }, { digest, writeFolder }] = await Promise.all([
    import('../store/index.ts'),
    import('../host/files.ts'),
    import('../host/folders.ts'),
  ]);
  const store = await openStore(workshopOf(options), { create, now });
  try {
    return await work(store, { readText: (path) => readText(path), readBytes, now, digest, writeFolder });
  } finally {
    await store.close();
  }
}
