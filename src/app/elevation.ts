import { heightAt } from '../core/terrain/index.ts';
import { UserError } from '../core/units/index.ts';
import { boxAround } from '../formats/geodesic.ts';
import type { Terrain } from '../formats/terrain.ts';
import { checkOptions } from './option-limits.ts';

export interface ElevationRequest {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/** Result of `sunperch elevation`. */
export interface ElevationOutcome {
  readonly command: 'elevation';
  readonly place: { readonly latitude_deg: number; readonly longitude_deg: number };
  /** Above sea level as the terrain's files count it; null where there is none. */
  readonly height_m: number | null;
  /** Why there is none. */
  readonly reason?: string;
  readonly files: readonly string[];
  readonly notes: readonly string[];
}

/** So much ground around the place is looked at: enough for the four cells beside it. */
const AROUND_m = 1;

/**
 * `sunperch elevation`: height of the ground at a place, bilinear between the four samples around it.
 *
 * A place outside the terrain or on a void gives null with the reason; bad files throw UserError.
 */
export async function elevation(request: ElevationRequest, terrain: Terrain): Promise<ElevationOutcome> {
  checkOptions({ ...request });
  const place = { latitude_deg: request.latitude_deg, longitude_deg: request.longitude_deg };
  const none = (reason: string, files: readonly string[] = []): ElevationOutcome => ({
    command: 'elevation',
    place,
    height_m: null,
    reason,
    files,
    notes: [],
  });
  try {
    const patch = await terrain.patch({ area: boxAround(place, AROUND_m), at: place });
    const at = new Float64Array(2);
    patch.projection.toGrid(place.longitude_deg, place.latitude_deg, at);
    const height_m = heightAt(patch.grid, at[0]!, at[1]!);
    if (Number.isNaN(height_m))
      return none(
        patch.voids > 0
          ? 'The terrain has a void there: the tile holds no height for a sample beside the place.'
          : 'A tile beside the place is missing, so the height there cannot be interpolated.',
        patch.files,
      );
    return { command: 'elevation', place, height_m, files: patch.files, notes: patch.notes };
  } catch (error) {
    if (error instanceof UserError && error.problems[0]?.code === 'terrain.outside')
      return none(error.problems[0].message);
    throw error;
  }
}
