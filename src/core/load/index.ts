export {
  average_mA_at,
  average_mW_at,
  averageLoad,
  composeLoad,
  LOWEST_V,
  peak_mA_at,
  REFERENCE_V,
} from './compose.ts';
export type { CurrentLogSummary } from './current-log.ts';
export { summariseCurrentLog } from './current-log.ts';
export type { LoadState } from './current-states.ts';
export { findStates, MOST_STATES } from './current-states.ts';
export type { OutputStage } from './transmit-current.ts';
export { typicalTransmit_mA } from './transmit-current.ts';
export type {
  AverageInput,
  ComposedLoad,
  LoadInput,
  LoadPart,
  LoadShare,
  Regulator,
  Supply,
  TransmitInput,
} from './types.ts';
