/** Opens a server's terrain, and makes that of the demo. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { osselGrid } from '../core/terrain/index.ts';
import { hgtFrame, hgtName, writeHgt } from '../formats/hgt.ts';
import type { OpenTerrain } from '../formats/terrain.ts';
import { writeWhole } from '../host/files.ts';
import { terrainIdentity } from '../host/terrain-identity.ts';
import { openTerrain } from '../host/terrain-store.ts';
import { DEMO_BOX, DEMO_TERRAIN, type TerrainPlace } from './terrain-place.ts';

const SEED = 1;
/** 3 arc-seconds. */
const SIDE = 1201;

/** Makes what is not there yet. */
async function makeOssel(folder: string): Promise<void> {
  const { south_deg } = DEMO_BOX;
  for (let west_deg: number = DEMO_BOX.west_deg; west_deg < DEMO_BOX.east_deg; west_deg++) {
    const file = join(folder, hgtName(south_deg + 0.5, west_deg + 0.5));
    if (existsSync(file)) continue;
    await writeWhole(file, writeHgt(osselGrid(hgtFrame({ south_deg, west_deg }, SIDE), SEED)));
  }
}

export async function openPlace(place: TerrainPlace): Promise<OpenTerrain> {
  if (place.kind === 'named') return openTerrain(place.name, place.options);
  await makeOssel(place.folder);
  return { ...(await openTerrain(place.folder)), ...DEMO_TERRAIN };
}

export async function identityOf(place: TerrainPlace): Promise<string> {
  if (place.kind === 'named') return terrainIdentity(place.name, place.options);
  await makeOssel(place.folder);
  return terrainIdentity(place.folder, {});
}
