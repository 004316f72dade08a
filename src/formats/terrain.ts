import type { GridFrame, HeightGrid } from '../core/terrain/index.ts';
import type { EarthBox, EarthPoint } from './geodesic.ts';
import type { Projection } from './projection.ts';

/** What part of the terrain is wanted. */
export interface TerrainRequest {
  readonly area: EarthBox;
  /** The place that the question is about: the finest terrain that has it sets the grid. */
  readonly at: EarthPoint;
}

/** Terrain of an area, in one grid. */
export interface TerrainPatch {
  readonly grid: HeightGrid;
  readonly projection: Projection;
  /** Grid of the one tile that holds all there is of the area on this lattice; null or left out when there are several. */
  readonly tile?: GridFrame | null;
  /** Cells where no tile lies, and cells where a tile lies that has no height there; both are NaN. */
  readonly missing: number;
  readonly voids: number;
  /** Cells that were taken from tiles of another spacing or projection, bilinear. */
  readonly resampled: number;
  readonly files: readonly string[];
  /** All that the user should know of the terrain: what is missing, void, resampled, passed over. */
  readonly notes: readonly string[];
}

/** Terrain that is opened, with what is known of the whole of it. */
export interface OpenTerrain extends Terrain {
  /** Of all tiles; null where there are no bounds: a server's. */
  readonly box: EarthBox | null;
  /** Side of the finest cells; null where that is not known before asking. */
  readonly finest_m: number | null;
  /** Files that were passed over, and why. */
  readonly notes: readonly string[];
}

/** Heights from somewhere: a folder, a file, a server. */
export interface Terrain {
  /** As the user named it. */
  readonly name: string;
  /**
   * @throws UserError `terrain.outside` where no tile holds `at`, `terrain.large` for too many cells, and what is wrong with a
   * tile that is needed
   */
  patch(request: TerrainRequest): Promise<TerrainPatch>;
}
