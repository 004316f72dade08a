/** Diffuse share of an hour: Erbs' correlation at a clearness freed in half from the height of the sun. */
import { erbsHourly, kastenYoungAirMass } from '../sun/index.ts';
import { DEG_PER_RAD } from '../units/index.ts';

/**
 * How much a clear hour's clearness falls with the sun: 1.031 exp(-1.4 / (0.9 + 9.4 / m)) + 0.1, m the relative air mass; 1 with the
 * sun overhead, 0.6 at 5°. Perez, Ineichen, Seals & Zelenka, "Making full use of the clearness index for parameterizing
 * hourly insolation conditions", Solar Energy 45(2) 111-114 (1990), eq. 1 (from memory).
 */
export function elevationFactor(sinElevation: number): number {
  const airMass = kastenYoungAirMass(90 - Math.asin(Math.min(1, Math.max(0, sinElevation))) * DEG_PER_RAD);
  return 1.031 * Math.exp(-1.4 / (0.9 + 9.4 / airMass)) + 0.1;
}

/** What an hour's clearness is multiplied by before the split: 1 / sqrt(elevationFactor). */
export function lowSunFactor(sinElevation: number): number {
  return 1 / Math.sqrt(elevationFactor(sinElevation));
}

/** Steps of the split table per unit of clearness, and its end. */
export const SPLIT_STEPS = 256;
const SPLIT_END = 1.6;
/** Last place of the table. */
export const SPLIT_LAST = SPLIT_END * SPLIT_STEPS;

/**
 * Table of erbsHourly(kt)^exponent for kt = i / SPLIT_STEPS, 0..1.6; straight lines between entries are within 1e-4.
 *
 * Erbs, Klein & Duffie 1982 do not know the height of the sun: at a clearness of 0.45 they give 0.75 diffuse to a hazy
 * noon and to a cloudless hour at 8° alike. In two hourly files (9° N at 2355 m, 55° N at sea level; made by different
 * methods) the diffuse share below 12° is 0.53-0.64 where Erbs gives 0.73-0.78, and above 45° it is Erbs'. Dividing the clearness
 * by the square root of elevationFactor brings every class of sun height and clearness within 0.1; the full factor overdoes
 * it. The square root is a fit of our own to those two files.
 */
export function splitTable(exponent: number): Float64Array {
  return Float64Array.from({ length: SPLIT_END * SPLIT_STEPS + 2 }, (_, i) => erbsHourly(i / SPLIT_STEPS) ** exponent);
}
