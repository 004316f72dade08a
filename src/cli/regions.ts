/** Regions as options name them, without loading the tables of their rules. */
import type { Region } from '../core/path/index.ts';

/** Each region once: one that is missing here, or too many, does not compile. */
const ALL: Readonly<Record<Region, true>> = { US: true, EU: true, UK: true, AU: true, NZ: true, JP: true, IN: true };
export const REGIONS = Object.keys(ALL) as Region[];
export type { Region };
