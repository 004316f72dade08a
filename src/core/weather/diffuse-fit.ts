/** Diffuse exponents of a place whose monthly diffuse radiation is known. */
import { createRandom } from '../math/index.ts';
import { DAYS_PER_YEAR } from '../units/index.ts';
import type { DailyClearness } from './daily.ts';
import type { HourlyShape } from './hourly.ts';
import { BLOCK_YEARS } from './month-draws.ts';
import { monthOfDays } from './monthly-curve.ts';

const LEAST = 0.2;
const MOST = 3;

/**
 * Exponents with which synthetic hours give back the monthly shares of diffuse light.
 *
 * For each month the root of sum(G max(d^gamma, least)) = share sum(G) over one block of synthetic days, by Newton's method;
 * `least` is what the limit on beam leaves diffuse. Held within 0.2..3; months without light keep 1. Shares come back
 * within about 0.01 (chance of the days). `shape` has exponents of 1 and no limit on beam.
 */
export function fitDiffuseExponents(
  share: readonly number[],
  clearness: DailyClearness,
  shape: HourlyShape,
): Float64Array {
  const { count, month, global, logShare, logLeast } = sampleHours(clearness, shape);
  const gamma = new Float64Array(12).fill(1);
  for (let round = 0; round < 12; round++) {
    const total = new Float64Array(12);
    const diffuse = new Float64Array(12);
    const slope = new Float64Array(12);
    for (let i = 0; i < count; i++) {
      const m = month[i]!;
      const log = gamma[m]! * logShare[i]!;
      const free = log > logLeast[i]!;
      const part = global[i]! * Math.exp(free ? log : logLeast[i]!);
      total[m]! += global[i]!;
      diffuse[m]! += part;
      if (free) slope[m]! += part * logShare[i]!;
    }
    let moved = 0;
    for (let m = 0; m < 12; m++) {
      if (!(slope[m]! < 0)) continue;
      const step = (diffuse[m]! - share[m]! * total[m]!) / slope[m]!;
      const next = Math.min(MOST, Math.max(LEAST, gamma[m]! - step));
      moved = Math.max(moved, Math.abs(next - gamma[m]!));
      gamma[m] = next;
    }
    if (moved < 1e-3) break;
  }
  return gamma;
}

/** Hours with light of one block of years: global, logarithms of the diffuse share and of the least that it can be. */
function sampleHours(clearness: DailyClearness, shape: HourlyShape) {
  const chance = createRandom(20);
  const kt = new Float64Array(BLOCK_YEARS * DAYS_PER_YEAR);
  clearness.generateBlock(chance.fork(1), kt, new Float64Array(kt.length));
  const months = monthOfDays();
  const month = new Uint8Array(kt.length * 24);
  const global = new Float64Array(kt.length * 24);
  const logShare = new Float64Array(kt.length * 24);
  const logLeast = new Float64Array(kt.length * 24);
  const day = {
    ghi_W_m2: new Float32Array(24),
    dni_W_m2: new Float32Array(24),
    dhi_W_m2: new Float32Array(24),
  };
  let count = 0;
  for (let i = 0; i < kt.length; i++) {
    const d = i % DAYS_PER_YEAR;
    shape.fillDay(d, kt[i]!, chance, day, 0);
    for (let h = 0; h < 24; h++) {
      const ghi = day.ghi_W_m2[h]!;
      if (!(ghi > 0)) continue;
      month[count] = months[d]!;
      global[count] = ghi;
      logShare[count] = Math.log(Math.max(1e-3, day.dhi_W_m2[h]! / ghi));
      logLeast[count++] = Math.log(Math.max(1e-3, 1 - shape.beamLimit_W_m2[d * 24 + h]! / ghi));
    }
  }
  return { count, month, global, logShare, logLeast };
}
