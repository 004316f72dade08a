import type { Revision, WorkshopStore } from '../../src/app/store-port.ts';
import type { WorkshopPorts } from '../../src/app/workshop-save.ts';
import { userError } from '../../src/core/units/index.ts';
import { digest } from '../../src/host/folders.ts';
import { now } from '../store/places.ts';

/** Ports over a disk in memory, with the real digest. */
export function diskInMemory(
  files = new Map<string, string>(),
  bytes = new Map<string, Uint8Array>(),
): WorkshopPorts & { files: Map<string, string>; bytes: Map<string, Uint8Array> } {
  return {
    files,
    bytes,
    now,
    digest,
    readText: async (path) => {
      const text = files.get(path);
      if (text === undefined) throw userError('file-unreadable', 'there is no such file', { file: path });
      return text;
    },
    readBytes: async (path) => {
      const found = bytes.get(path);
      if (found === undefined) throw userError('file-unreadable', 'there is no such file', { file: path });
      return found;
    },
    writeFolder: async (path, written) => {
      for (const [name, content] of written)
        if (typeof content === 'string') files.set(`${path}/${name}`, content);
        else bytes.set(`${path}/${name}`, await content());
    },
  };
}

/** A whole kit in few lines. */
export const kitText = (name: string, tilt_deg: number, count = 2, tail = '') =>
  `name: ${JSON.stringify(name)}
panel: { power_W: 3.5, vmp_V: 6, tilt_deg: ${tilt_deg} }
charger: { type: tracking, ceiling_V: 4.1 }
cutoff: { cutoff_V: 3.2, reconnect_V: 3.6 }
cells: { count: ${count}, capacity_mAh: 3350 }
load: { average_mA: 9 }
${tail}`;

export const perchText = (name: string, latitude_deg = 46.4) =>
  `name: ${JSON.stringify(name)}\nlatitude_deg: ${latitude_deg}\nlongitude_deg: 10.2\nelevation_m: 1500\n`;

/** A store in which `between` runs once just before the next save: another window that is quicker. */
export function overtaken(store: WorkshopStore, between: () => Promise<unknown>): WorkshopStore {
  let open = true;
  const once = async () => {
    if (!open) return;
    open = false;
    await between();
  };
  return {
    ...store,
    append: async (revisions: readonly Revision[]) => {
      await once();
      return store.append(revisions);
    },
    restore: async (...what) => {
      await once();
      return store.restore(...what);
    },
  };
}
