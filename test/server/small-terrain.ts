import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runTask } from '../../src/app/tasks.ts';
import { createTerrainDesk, type TerrainDesk } from '../../src/app/terrain-desk.ts';
import { type GridFrame, osselHeight_m, xOfColumn_u, yOfRow_u } from '../../src/core/terrain/index.ts';
import { writeGeotiff } from '../../src/formats/geotiff-writer.ts';
import { terrainIdentity } from '../../src/host/terrain-identity.ts';
import { openTerrain } from '../../src/host/terrain-store.ts';

export interface SmallTerrain {
  readonly desk: TerrainDesk;
  readonly folder: string;
  readonly open: () => ReturnType<typeof openTerrain>;
  /** Milliseconds of the desk's clock. */
  readonly clock: { ms: number };
  /** Writes the file anew. */
  write(height_m: Heights): void;
  remove(): void;
}
type Heights = (latitude_deg: number, longitude_deg: number) => number;

/** A real folder with one GeoTIFF: 46.3 to 46.54 N, 10.05 to 10.35 E unless told; the invented valley by default. */
export function smallTerrain(
  heights: Heights = (lat, lon) => osselHeight_m(lat, lon, 1),
  step_deg = 1 / 1200,
): SmallTerrain {
  const folder = mkdtempSync(join(tmpdir(), 'small-terrain-'));
  const clock = { ms: 0 };
  const frame: GridFrame = {
    kind: 'geographic',
    projection: null,
    rows: Math.round(0.24 / step_deg) + 1,
    columns: Math.round(0.3 / step_deg) + 1,
    west_u: 10.05,
    north_u: 46.54,
    stepEast_u: step_deg,
    stepNorth_u: step_deg,
    pixelIs: 'point',
  };
  const write = (height_m: Heights) => {
    const values = Float32Array.from({ length: frame.rows * frame.columns }, (_, k) =>
      height_m(yOfRow_u(frame, Math.floor(k / frame.columns)), xOfColumn_u(frame, k % frame.columns)),
    );
    writeFileSync(join(folder, 'ground.tif'), writeGeotiff(frame, values, Number.NaN, 'heights'));
  };
  write(heights);
  const open = () => openTerrain(folder);
  const desk = createTerrainDesk(
    { open, identity: () => terrainIdentity(folder, {}), now_ms: () => clock.ms },
    {
      progress: () => undefined,
      runTasks: async (task, inputs) => inputs.map((input) => runTask(task, input)),
    },
  );
  return { desk, folder, open, clock, write, remove: () => rmSync(folder, { recursive: true, force: true }) };
}
