/** Where a server's terrain comes from: what its user named, or the invented valley of the demo. Light: read at the start. */
import { homedir } from 'node:os';
import { join } from 'node:path';
import type { TerrainAbout } from '../app/terrain-desk.ts';
import type { TerrainOptions } from '../host/terrain-store.ts';
import { VERSION } from './version.ts';

export type TerrainPlace =
  | { readonly kind: 'named'; readonly name: string; readonly options: TerrainOptions }
  | { readonly kind: 'demo'; readonly folder: string };

/** The tile of the valley and its western neighbour, where the mouth of the valley lies. */
export const DEMO_BOX = { south_deg: 46, north_deg: 47, west_deg: 9, east_deg: 11 } as const;

/** What is known of the demo's terrain before it is made. */
export const DEMO_TERRAIN: TerrainAbout = {
  name: 'Ossel valley (invented)',
  box: DEMO_BOX,
  notes: ['The ground of the demo is made by a formula: it is no real place.'],
};

/** In the cache folder of the account, apart for each version: the formula may change. */
export const demoPlace = (): TerrainPlace => ({
  kind: 'demo',
  folder: join(process.env['XDG_CACHE_HOME'] || join(homedir(), '.cache'), 'sunperch', `ossel-${VERSION}`),
});
