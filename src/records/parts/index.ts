export { CELLS } from './cells.ts';
export { CHARGERS } from './chargers.ts';
export { LOAD_STATES, TRANSMIT_STATES } from './loads.ts';
export { PANELS } from './panels.ts';
export type { Part } from './types.ts';
