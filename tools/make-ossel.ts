// Writes the invented Ossel valley of the examples as an elevation tile: node --import tsx tools/make-ossel.ts FOLDER [SEED]
// One degree at 3 arc-seconds, 2.9 MB; the same seed gives the same bytes, so the tile is made when wanted and not kept here.
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
const corner = { south_deg: Math.floor(OSSEL.latitude_deg), west_deg: Math.floor(OSSEL.longitude_deg) };
mkdirSync(folder, { recursive: true });
const file = join(folder, hgtName(OSSEL.latitude_deg, OSSEL.longitude_deg));
writeFileSync(file, writeHgt(osselGrid(hgtFrame(corner, 1201), seed)));
console.log(file);
