/** The thread that holds a server's terrain, as the desk that the routes ask. */
import type { JobInput } from '../app/job-kinds.ts';
import type { TerrainAbout, TerrainDesk } from '../app/terrain-desk.ts';
import { createCallThread } from '../host/call-thread.ts';
import type { TerrainPlace } from './terrain-place.ts';

export interface TerrainService extends TerrainDesk {
  quick(input: JobInput, signal?: AbortSignal): Promise<unknown>;
  close(): Promise<void>;
}

/** `known`: what can be told of the terrain before it is opened. */
export function createTerrainService(place: TerrainPlace, known?: TerrainAbout): TerrainService {
  const thread = createCallThread(new URL('./terrain.mjs', import.meta.url), place);
  const ask = <K extends keyof TerrainDesk>(what: K, ...input: Parameters<TerrainDesk[K]>) =>
    thread.call(what, input) as ReturnType<TerrainDesk[K]>;
  return {
    about: known === undefined ? () => ask('about') : async () => known,
    identity: () => ask('identity'),
    shade: (tile) => ask('shade', tile),
    height_m: (at) => ask('height_m', at),
    rays: (at, radius_km) => ask('rays', at, radius_km),
    profile: (from, to) => ask('profile', from, to),
    quick: (input, signal) => thread.call('quick', [input], signal),
    close: () => thread.close(),
  };
}
