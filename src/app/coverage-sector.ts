import { type CoverageOut, type CoveragePlan, coverSector, createCoverageOut } from '../core/reach/index.ts';

/** One sector of a coverage for a worker. */
export interface CoverageSector {
  readonly plan: CoveragePlan;
  readonly fromRadial: number;
  readonly toRadial: number;
  /** Results of all sectors, in memory that the workers share; without it the sector's cells are the answer. */
  readonly out?: CoverageOut;
}

/** Cells of a sector: their places in the raster, and what was found there. */
export interface CoverageCells extends CoverageOut {
  readonly index: Uint32Array;
}

/** Task `coverage-sector`: fills its cells in the shared results and answers with the number of radials, or answers with the cells. */
export function coverageSector(input: CoverageSector): number | CoverageCells {
  const { plan, fromRadial, toRadial } = input;
  const out =
    input.out ?? createCoverageOut(plan.ground.rows * plan.ground.columns, false, plan.ground.cover !== undefined);
  coverSector(plan, fromRadial, toRadial, out);
  return input.out === undefined ? filledCells(out) : toRadial - fromRadial;
}

/** The cells that differ from empty results. */
function filledCells(out: CoverageOut): CoverageCells {
  const filled = (i: number) =>
    out.sight[i] !== 255 ||
    !Number.isNaN(out.loss_dB[i]!) ||
    !Number.isNaN(out.leaves_mrad[i]!) ||
    !Number.isNaN(out.arrives_mrad[i]!);
  let count = 0;
  for (let i = 0; i < out.sight.length; i++) if (filled(i)) count++;
  const index = new Uint32Array(count);
  for (let i = 0, at = 0; at < count; i++) if (filled(i)) index[at++] = i;
  return {
    index,
    loss_dB: Float32Array.from(index, (i) => out.loss_dB[i]!),
    sight: Uint8Array.from(index, (i) => out.sight[i]!),
    leaves_mrad: Float32Array.from(index, (i) => out.leaves_mrad[i]!),
    arrives_mrad: Float32Array.from(index, (i) => out.arrives_mrad[i]!),
    ends_dB: out.ends_dB && Float32Array.from(index, (i) => out.ends_dB![i]!),
    endsSpread_dB: out.endsSpread_dB && Float32Array.from(index, (i) => out.endsSpread_dB![i]!),
  };
}

/** Puts the cells of a sector into the results of all. */
export function putCells(out: CoverageOut, cells: CoverageCells): void {
  for (const [at, i] of cells.index.entries()) {
    out.loss_dB[i] = cells.loss_dB[at]!;
    out.sight[i] = cells.sight[at]!;
    out.leaves_mrad[i] = cells.leaves_mrad[at]!;
    out.arrives_mrad[i] = cells.arrives_mrad[at]!;
    if (out.ends_dB && cells.ends_dB) out.ends_dB[i] = cells.ends_dB[at]!;
    if (out.endsSpread_dB && cells.endsSpread_dB) out.endsSpread_dB[i] = cells.endsSpread_dB[at]!;
  }
}
