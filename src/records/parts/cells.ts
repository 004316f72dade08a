/** Generic cells by size and capacity. */
import type { Part } from './types.ts';

const TYPICAL = 'typical of the size, from memory';

/**
 * Rested voltage of an iron-phosphate cell, from memory: flat near 3.3 V. Each step rises by at least 1 mV so that a voltage names
 * one state of charge; on the plateau that state is uncertain by tens of per cent.
 */
const IRON_PHOSPHATE = [
  [0, 2.5],
  [0.02, 2.9],
  [0.05, 3.08],
  [0.1, 3.2],
  [0.2, 3.24],
  [0.3, 3.275],
  [0.4, 3.29],
  [0.5, 3.295],
  [0.6, 3.3],
  [0.7, 3.325],
  [0.8, 3.33],
  [0.9, 3.335],
  [0.97, 3.345],
  [1, 3.42],
].map(([soc, voltage_V]) => ({ soc, voltage_V }));

const ion = (
  id: string,
  title: string,
  capacity_mAh: number,
  chemistry: 'nmc111' | 'nmc811',
  resistance_mOhm: number,
): Part => ({
  id,
  title,
  source: TYPICAL,
  fields: { capacity_mAh, chemistry, resistance_mOhm, selfDischarge_pct_month: 2 },
});

const ironPhosphate = (id: string, title: string, capacity_mAh: number, resistance_mOhm: number): Part => ({
  id,
  title: `${title}; its voltage table is from memory, its ageing is not modelled`,
  source: TYPICAL,
  fields: { capacity_mAh, chemistry: 'table', table: IRON_PHOSPHATE, resistance_mOhm, selfDischarge_pct_month: 2 },
});

export const CELLS: readonly Part[] = [
  ion('cell-18650-2050', '18650, 2,050 mAh, NMC111', 2050, 'nmc111', 90),
  ion('cell-18650-2600', '18650, 2,600 mAh, NMC111', 2600, 'nmc111', 80),
  ion('cell-18650-3000', '18650, 3,000 mAh, NMC811', 3000, 'nmc811', 70),
  ion('cell-18650-3350', '18650, 3,350 mAh, NMC811', 3350, 'nmc811', 80),
  ion('cell-18650-3500', '18650, 3,500 mAh, NMC811', 3500, 'nmc811', 80),
  ion('cell-21700-4000', '21700, 4,000 mAh, NMC811', 4000, 'nmc811', 55),
  ion('cell-21700-5000', '21700, 5,000 mAh, NMC811', 5000, 'nmc811', 55),
  ion('cell-pouch-2000', 'Flat pouch with protection, 2,000 mAh, NMC111', 2000, 'nmc111', 150),
  ion('cell-pouch-6000', 'Flat pouch with protection, 6,000 mAh, NMC111', 6000, 'nmc111', 90),
  ironPhosphate('cell-18650-1500-iron-phosphate', '18650, 1,500 mAh, iron phosphate', 1500, 80),
  ironPhosphate('cell-32700-6000-iron-phosphate', '32700, 6,000 mAh, iron phosphate', 6000, 40),
];
