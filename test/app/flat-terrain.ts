import type { Ports } from '../../src/app/ports.ts';
import { runTask } from '../../src/app/tasks.ts';
import { type GridFrame, type HeightGrid, osselHeight_m, xOfColumn_u, yOfRow_u } from '../../src/core/terrain/index.ts';
import { UserError } from '../../src/core/units/index.ts';
import type { EarthBox } from '../../src/formats/geodesic.ts';
import { projectionOf } from '../../src/formats/projection.ts';
import type { Terrain } from '../../src/formats/terrain.ts';
import { PORTS } from './real-ports.ts';

/** Files in memory; coverage runs in this thread. */
export const portsOf = (files: Readonly<Record<string, string>> = {}): Ports => ({
  ...PORTS,
  readText: async (path) => files[path] ?? PORTS.readText(path),
  runTasks: async (task, inputs) => inputs.map((input) => runTask(task, input)),
});

/** Terrain by a formula of latitude and longitude, on a lattice of `step_deg`; it covers every area that is asked for. */
export function terrainOf(
  height_m: (latitude_deg: number, longitude_deg: number) => number,
  step_deg = 1 / 1200,
): Terrain {
  return {
    name: 'formula',
    patch: async ({ area }) => {
      const frame = frameOf(area, step_deg);
      const grid: HeightGrid = { ...frame, height_m: new Float32Array(frame.rows * frame.columns) };
      for (let r = 0, k = 0; r < frame.rows; r++)
        for (let c = 0; c < frame.columns; c++)
          grid.height_m[k++] = height_m(yOfRow_u(frame, r), xOfColumn_u(frame, c));
      const voids = grid.height_m.reduce((n, h) => n + (Number.isNaN(h) ? 1 : 0), 0);
      if (voids === grid.height_m.length) throw new UserError({ code: 'terrain.outside', message: 'no ground' });
      return { grid, projection: projectionOf(null), missing: 0, voids, resampled: 0, files: [], notes: [] };
    },
  };
}

function frameOf(area: EarthBox, step_deg: number): GridFrame {
  const west = Math.floor(area.west_deg / step_deg);
  const north = Math.ceil(area.north_deg / step_deg);
  return {
    kind: 'geographic',
    projection: null,
    rows: north - Math.floor(area.south_deg / step_deg) + 1,
    columns: Math.ceil(area.east_deg / step_deg) - west + 1,
    west_u: west * step_deg,
    north_u: north * step_deg,
    stepEast_u: step_deg,
    stepNorth_u: step_deg,
    pixelIs: 'point',
  };
}

export const ossel = terrainOf((lat, lon) => osselHeight_m(lat, lon, 1));
export const plain = terrainOf(() => 500);
