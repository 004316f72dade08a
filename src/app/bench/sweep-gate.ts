/** A sweep at a gate: the worst standing-wave ratio over the gate's band, or over the band of the batch's region. */
import { overBand } from '../../core/antenna/index.ts';
import { userError } from '../../core/units/index.ts';
import { readTouchstone } from '../../formats/touchstone.ts';
import { type Band, bandOfRegion, type Gate } from '../../records/bench/index.ts';
import { batchIn, gateIn, planOfUnit, unitIn } from './find.ts';
import type { BenchState } from './state.ts';

/** Band that a sweep is judged over: the gate's, else the region's. The gate of a unit has that of its variant already. */
export const bandOfGate = (gate: Gate, region: string): Band => gate.band ?? bandOfRegion(region);

/**
 * The value that the gate judges.
 *
 * @throws UserError when the gate measures something else, when the file cannot be read, or when it does not cover the band
 */
export function sweepAtGate(state: BenchState, serial: string, gateKey: string, text: string, file: string): number {
  const unit = unitIn(state, serial);
  const gate = gateIn(planOfUnit(state, unit), gateKey);
  if (gate.measures !== 'antenna match')
    throw userError('not-a-sweep-gate', `${gate.name} is no antenna match: give its value`, { field: gateKey });
  const { sweep } = readTouchstone(text, file);
  const { from_MHz, to_MHz } = bandOfGate(gate, batchIn(state, unit.batch).region);
  // A total reflection has no finite ratio: any number beyond every limit will do, and 999 says so at a glance.
  return Math.min(999, Math.round(overBand(sweep, from_MHz, to_MHz).worstVswr * 1000) / 1000);
}
