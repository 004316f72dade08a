/** The report page of a perch with its map, to be laid out as HTML or set on paper. */
import { base64 } from '../formats/base64.ts';
import { encodePng } from '../formats/png.ts';
import type { Page } from '../report/index.ts';
import { reachDocument } from '../report/index.ts';
import { inSteps, reachImage } from '../report/reach-image.ts';
import type { Reach } from './reach.ts';
import type { ReachReport } from './reach-report.ts';

/** Side of the map in the page, px: the largest whose file stays small enough for the page to be sent about. */
const MAP_px = [800, 640, 480, 320];
const MOST_MAP_bytes = 400_000;

export function reachPageOf(report: ReachReport, { field }: Reach, generatedFrom: readonly string[]): Page {
  let png: Uint8Array = new Uint8Array(0);
  for (const side_px of MAP_px) {
    png = encodePng(inSteps(reachImage(field, side_px)));
    if (png.length <= MOST_MAP_bytes) break;
  }
  return reachDocument({ ...report, map: { ...report.map, png_base64: base64(png) }, generatedFrom });
}
