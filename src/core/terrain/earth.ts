/** Mean radius of the Earth, m (common practice; ITU-R P.1812 takes 6371 km). */
export const EARTH_RADIUS_m = 6_371_000;

/**
 * How many times the Earth's radius a ray bends along: radio in the standard atmosphere 4/3 (ITU-R P.1812, ΔN ≈ 40);
 * light 7/6, for it bends by a seventh of the Earth's curve (the default of GDAL's viewshed tool: 1 - 1/7).
 */
export const RADIUS_FACTOR = { radio: 4 / 3, light: 7 / 6 } as const;

/** Effective radius, m, for a factor. */
export const effectiveRadius_m = (factor: number): number => factor * EARTH_RADIUS_m;
