import { type CoverageOut, type CoveragePlan, coverSector } from '../core/reach/index.ts';

/** One sector of a coverage for a worker; heights and results lie in shared memory. */
export interface CoverageSector {
  readonly plan: CoveragePlan;
  readonly fromRadial: number;
  readonly toRadial: number;
  readonly out: CoverageOut;
}

/** Task `coverage-sector`: fills the cells of its sector in the shared results; the answer is their number of radials. */
export function coverageSector(input: CoverageSector): number {
  coverSector(input.plan, input.fromRadial, input.toRadial, input.out);
  return input.toRadial - input.fromRadial;
}
