// Writes the invented Ossel valley of the examples as elevation tiles: node --import tsx tools/make-ossel.ts FOLDER [SEED]
// The tile of the valley and its western neighbour, 3 arc-seconds, 2.9 MB each; the same seed gives the same bytes, so they
// are made when wanted and not kept here.
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { OSSEL, osselGrid } from '../src/core/terrain/index.ts';
import { hgtFrame, hgtName, writeHgt } from '../src/formats/hgt.ts';

const folder = process.argv[2];
const seed = Number(process.argv[3] ?? 1);
if (folder === undefined || !Number.isInteger(seed)) {
  console.error('Say where: node --import tsx tools/make-ossel.ts FOLDER [SEED]');
  process.exit(2);
}
mkdirSync(folder, { recursive: true });
for (const west_deg of [Math.floor(OSSEL.longitude_deg), Math.floor(OSSEL.longitude_deg) - 1]) {
  const south_deg = Math.floor(OSSEL.latitude_deg);
  const file = join(folder, hgtName(south_deg + 0.5, west_deg + 0.5));
  writeFileSync(file, writeHgt(osselGrid(hgtFrame({ south_deg, west_deg }, 1201), seed)));
  console.log(file);
}
