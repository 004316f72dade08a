/** Ground cover of a file on the cells of a terrain, and what an answer tells of it. */
import { type CoverRaster, columnOf, type HeightGrid, paintCover, rowOf } from '../core/terrain/index.ts';
import { userError } from '../core/units/index.ts';
import type { Projection } from '../formats/projection.ts';
import { type CoverFile, readCover } from './cover-file.ts';
import { lossNamed } from './cover-path.ts';
import type { Ports } from './ports.ts';

/** A class in the answer. */
export interface CoverRow {
  readonly class: string;
  readonly height_m: number;
  /** As told; null: computed. */
  readonly loss_dB: number | null;
  readonly polygons: number;
  /** Of the ground looked at, 0 to 1. */
  readonly share: number;
}

/** Ground cover in the answer. */
export interface CoverOutcome {
  readonly file: string;
  readonly features: number;
  readonly classes: readonly CoverRow[];
}

/** Of a path, or as it was read before. */
export async function readCoverFile(
  ports: Ports,
  given: string | CoverFile | undefined,
): Promise<CoverFile | undefined> {
  return typeof given === 'string' ? readCover(await ports.readText(given), given) : given;
}

/** Refuses a carrier for which what the ends may stand in has no figures, before the work begins. */
export function checkCover(file: CoverFile | undefined, frequency_MHz: number): void {
  for (const kind of file?.kinds ?? []) {
    if (kind.height_m === 0) continue;
    lossNamed({ kind, depth_m: kind.cover === 'woods' ? 1 : null }, kind.height_m / 2, frequency_MHz);
  }
}

/**
 * Paints the polygons of a file on the cells of a grid, in memory that workers share.
 *
 * @throws UserError when none of them touches the grid, but would with latitude and longitude exchanged
 */
export function coverRaster(
  file: CoverFile,
  { grid, projection }: { readonly grid: HeightGrid; readonly projection: Projection },
): CoverRaster {
  const out = new Float64Array(2);
  const shapesOf = (exchanged: boolean) =>
    file.areas.map(({ kind, rings }) => ({
      kind,
      rings: rings.map((ring) => {
        const flat = new Float64Array(2 * ring.length);
        ring.forEach(([x, y], i) => {
          projection.toGrid(exchanged ? y : x, exchanged ? x : y, out);
          flat[2 * i] = columnOf(grid, out[0]!);
          flat[2 * i + 1] = rowOf(grid, out[1]!);
        });
        return flat;
      }),
    }));
  const { rows, columns } = grid;
  const bytes = () => new Uint8Array(new SharedArrayBuffer(rows * columns));
  const kind = bytes();
  const woods = file.kinds.some((k) => k.cover === 'woods') ? bytes() : undefined;
  const shapes = shapesOf(false);
  const touches = (all: typeof shapes) => all.some(({ rings }) => overlaps(rings[0]!, rows, columns));
  paintCover(rows, columns, shapes, file.kinds, kind, woods);
  if (!kind.some((k) => k !== 0) && !touches(shapes) && touches(shapesOf(true)))
    throw userError(
      'cover.exchanged',
      'no polygon touches the ground in question, but they would with latitude and longitude exchanged: GeoJSON wants the longitude first',
      { file: file.file },
    );
  return { kind, woods, kinds: file.kinds };
}

/** Whether the box around a ring and a raster have ground in common. */
function overlaps(ring: Float64Array, rows: number, columns: number): boolean {
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  const high = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  ring.forEach((v, i) => {
    low[i % 2] = Math.min(low[i % 2]!, v);
    high[i % 2] = Math.max(high[i % 2]!, v);
  });
  return low[0]! < columns && high[0]! > 0 && low[1]! < rows && high[1]! > 0;
}

/** What an answer tells, from the kinds of the cells or points looked at. */
export function coverOutcome(file: CoverFile, kinds: Uint8Array): CoverOutcome {
  const seen = new Float64Array(file.kinds.length);
  for (const k of kinds) seen[k]!++;
  return {
    file: file.file,
    features: file.features,
    classes: file.kinds.map((k, i) => ({
      class: k.cover,
      height_m: k.height_m,
      loss_dB: k.loss_dB ?? null,
      polygons: file.counts[i]!,
      share: seen[i]! / Math.max(1, kinds.length),
    })),
  };
}

/** A note when the cover lies elsewhere. */
export function coverNotes(file: CoverFile, told: CoverOutcome): string[] {
  const none = told.classes.slice(1).every((c) => c.share === 0) && told.classes.length > 1;
  return [...file.notes, ...(none ? [`No polygon of ${file.file} covers any of the ground looked at.`] : [])];
}

/** Told wherever cover counts. */
export const COVER_CAUTION = {
  code: 'clutter-twice',
  text: 'Ground cover is added to the ground: where the terrain is a surface model, which holds tree tops and roofs already, it counts twice.',
} as const;
