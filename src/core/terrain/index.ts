export type { CoverClass, CoverKind, CoverRaster, CoverShape } from './cover.ts';
export { OPEN_GROUND, paintCover } from './cover.ts';
export { EARTH_RADIUS_m, effectiveRadius_m, RADIUS_FACTOR } from './earth.ts';
export type { GridFrame, HeightGrid } from './grid.ts';
export {
  columnOf,
  countVoids,
  frameFault,
  heightAt,
  heightAtCell,
  isInside,
  rowOf,
  xOfColumn_u,
  yOfRow_u,
} from './grid.ts';
export type { ShadeGround, ShadeSetting } from './hillshade.ts';
export { hillshade, MAP_LIGHT } from './hillshade.ts';
export type { Horizon, HorizonSetting, RidgeLayer } from './horizon.ts';
export { horizonOf, horizonPairs } from './horizon.ts';
export type { Box, Mosaic } from './mosaic.ts';
export { createMosaic, fillFrom, mosaicGaps, overlap, pasteTile, sameLattice } from './mosaic.ts';
export type { TerrainProfile } from './profile.ts';
export { profileAlong } from './profile.ts';
export type { Fan, GridFan } from './ray.ts';
export { fanOnGrid, sampleRay, sampleRayAt } from './ray.ts';
export type { RayHeights } from './ray-heights.ts';
export { heightsOfQuarters, horizonOfRays, NO_QUARTER } from './ray-heights.ts';
export { sweepSector } from './sector.ts';
export type { SectorWork } from './sector-lines.ts';
export type { GridMetric, SightCounts, SightSetting } from './sight.ts';
export { planeMetric, SIGHT } from './sight.ts';
export { OSSEL, osselGrid, osselHeight_m } from './synthetic.ts';
export { viewshed } from './viewshed.ts';
