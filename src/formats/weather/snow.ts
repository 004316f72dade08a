import { counted } from './problems.ts';
import type { SeriesRows } from './rows.ts';

/** A rise of the depth counts as fresh snow if the depth before it is at most this old; judgement. */
const OLDEST_DEPTH_h = 24;
/** A rise beyond this in one hour is a join or a slip, not snow; judgement (a heavy day brings about 1 m). */
const MOST_RISE_cm = 100;

/**
 * Fresh snow from the rises of the snow depth (`snowDepth_cm` becomes `snowfall_cm`); absent where the file has no depth
 * at all. Settling hides part of a snowfall, so this is a lower bound. At the joins of a typical year no rise is counted.
 */
export function snowfallFromDepth(rows: SeriesRows, typical: boolean, notes: string[]): void {
  const depth = rows.values['snowDepth_cm']!;
  delete rows.values['snowDepth_cm'];
  let known = -1;
  let sum = 0;
  let ignored = 0;
  const fall = new Float32Array(rows.length);
  for (let i = 0; i < rows.length; i++) {
    if (Number.isNaN(depth[i]!)) continue;
    if (known >= 0 && i - known <= OLDEST_DEPTH_h && !(typical && rows.year[i] !== rows.year[known])) {
      const rise = depth[i]! - depth[known]!;
      if (rise > MOST_RISE_cm) ignored++;
      else if (rise > 0) {
        fall[i] = rise;
        sum += rise;
      }
    }
    known = i;
  }
  if (known < 0) return;
  rows.values['snowfall_cm'] = fall;
  if (sum > 0) notes.push(`Fresh snow is taken from rises of the snow depth: ${Math.round(sum)} cm in all.`);
  if (ignored > 0)
    notes.push(`${counted(ignored, 'rise')} of the snow depth by over ${MOST_RISE_cm} cm an hour not counted.`);
}
