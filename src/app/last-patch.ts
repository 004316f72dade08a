/** A terrain that keeps the last ground that it gave, with a rim: who moves by a little is answered from it. */
import type { EarthBox } from '../formats/geodesic.ts';
import type { Terrain, TerrainPatch } from '../formats/terrain.ts';

/** Rim on each side, of the width and height of what is asked for. */
const RIM = 0.04;

const holds = (outer: EarthBox, inner: EarthBox): boolean =>
  inner.west_deg >= outer.west_deg &&
  inner.east_deg <= outer.east_deg &&
  inner.south_deg >= outer.south_deg &&
  inner.north_deg <= outer.north_deg;

/** Much smaller areas are cut anew: the whole of what is given is computed on. */
const alike = (outer: EarthBox, inner: EarthBox): boolean =>
  inner.north_deg - inner.south_deg > (1 - 3 * RIM) * (outer.north_deg - outer.south_deg);

export function lastPatch(terrain: Terrain): Terrain {
  let last: { readonly area: EarthBox; readonly patch: Promise<TerrainPatch> } | undefined;
  return {
    name: terrain.name,
    patch({ area, at }) {
      if (last !== undefined && holds(last.area, area) && alike(last.area, area)) return last.patch;
      const up_deg = RIM * (area.north_deg - area.south_deg);
      const aside_deg = RIM * (area.east_deg - area.west_deg);
      const wide = {
        west_deg: area.west_deg - aside_deg,
        east_deg: area.east_deg + aside_deg,
        south_deg: Math.max(-90, area.south_deg - up_deg),
        north_deg: Math.min(90, area.north_deg + up_deg),
      };
      const asked = { area: wide, patch: terrain.patch({ area: wide, at }) };
      last = asked;
      asked.patch.catch(() => {
        if (last === asked) last = undefined;
      });
      return asked.patch;
    },
  };
}
