import { createBank, NMC811 } from '../../../src/core/cells/index.ts';
import { type BalanceHours, type BalanceModel, TEMPERATURE_STEPS } from '../../../src/core/energy/index.ts';
import type { NodeSpec } from '../../../src/core/energy/node.ts';
import type { Random } from '../../../src/core/math/index.ts';

const everywhere = (value: number) => new Float64Array(TEMPERATURE_STEPS).fill(value);

/** A bucket of `full_Wh` at one volt without losses, for exact checks. */
export function bucketNode(full_Wh: number, change: Partial<BalanceModel> = {}): BalanceModel {
  return {
    energyFull_Wh: full_Wh,
    voltageByEnergy: new Float64Array(2).fill(1),
    socByEnergy: Float64Array.of(0, 1),
    withheldShare: everywhere(0),
    stretch: everywhere(1),
    resistance_Ohm: everywhere(0),
    selfDischarge_per_h: everywhere(0),
    outputLimit_A: Number.POSITIVE_INFINITY,
    outputShare: everywhere(1),
    chargeLossShare: 0,
    ceiling_Wh: full_Wh,
    ceiling_V: Number.POSITIVE_INFINITY,
    chargeMin_degC: 0,
    chargeMax_degC: 100,
    powerPath: true,
    coldLockout: true,
    ownUse_A: 0,
    loadCurrent_A: 0,
    loadPower_W: 1,
    cutoff_Wh: everywhere(-1),
    reconnect_Wh: everywhere(0),
    restart_Wh: everywhere(0),
    locksUp: false,
    ...change,
  };
}

/** Invented hours: noisy days with cold spells, for laws. */
export function inventedHours(random: Random, length: number, nodes = 1): BalanceHours {
  const available_W = new Float32Array(length * nodes);
  const cell_degC = new Float32Array(length);
  let cloud = 0.5;
  for (let i = 0; i < length; i++) {
    const hour = i % 24;
    if (hour === 0) cloud = Math.min(1, Math.max(0.05, 0.5 + 0.5 * (cloud - 0.5) + 0.3 * random.normal()));
    const sun = Math.max(0, Math.sin(((hour - 7) / 10) * Math.PI));
    for (let j = 0; j < nodes; j++) available_W[i * nodes + j] = hour < 17 ? 2.4 * sun * cloud * (1 - 0.05 * j) : 0;
    cell_degC[i] = 3 + 9 * Math.sin((hour - 8) / 3.8) + 4 * random.normal();
  }
  return {
    length,
    available_W,
    nodes,
    scale: 1,
    node_V: Float64Array.from({ length: nodes }, (_, j) => 2.6 + 0.4 * j),
    cell_degC,
  };
}

/** A full node of three 3.35 Ah cells with voltage thresholds. */
export function fullNode(change: Partial<NodeSpec> = {}): NodeSpec {
  return {
    cells: { kind: 'bank', bank: createBank({ table: NMC811, count: 3, capacity_mAh: 3350 }) },
    ceiling: { voltage_V: 4.1 },
    cutoff: { kind: 'voltage', cutoff_V: 3.2, reconnect_V: 3.6 },
    chargeMin_degC: 0,
    chargeMax_degC: 45,
    powerPath: true,
    coldLockout: true,
    ownUse_A: 20e-6,
    outputLimit_A: Number.POSITIVE_INFINITY,
    outputShare: () => 1,
    loadCurrent_A: 0.03,
    loadPower_W: 0,
    pulse_A: 0.12,
    inrush_A: 0.2,
    ...change,
  };
}
