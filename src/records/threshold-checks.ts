/** What must fit together between cells, charger, cut-off and panel: the voltages. */
import { NMC811, openCircuit_V, stateOfCharge } from '../core/cells/index.ts';
import { UserError } from '../core/units/index.ts';
import { tableOf } from './cell-checks.ts';
import type { Finding } from './fields.ts';
import type { RawMapping } from './loose.ts';
import { at, mappingsAt, numberAt } from './loose.ts';

/** Ceiling against reconnect and cut-off, in volts or in states of charge; of unlike units through the table of the cells. */
export function thresholdFindings(kit: RawMapping): Finding[] {
  const found = tableOf(kit);
  const table = found instanceof UserError ? undefined : found;
  const ceiling = threshold(kit, 'charger', 'ceiling');
  if (ceiling === undefined) return [];
  for (const name of ['reconnect', 'cutoff']) {
    const lower = threshold(kit, 'cutoff', name);
    if (lower === undefined) continue;
    const alike = ceiling.unit === lower.unit;
    if (!alike && table === undefined) continue;
    const inSoc = (t: Threshold) => (t.unit === 'soc' || table === undefined ? t.value : stateOfCharge(table, t.value));
    const fits = alike ? ceiling.value > lower.value : inSoc(ceiling) > inSoc(lower);
    if (fits) continue;
    const key = `ceiling_${ceiling.unit}`;
    const other = `${name}_${lower.unit}`;
    const message = `${key} is ${ceiling.value}, not above ${other} ${lower.value}: ${
      name === 'reconnect' ? 'the load could never come back' : 'the load would be off for ever'
    }`;
    return [{ code: 'ceiling-below-reconnect', path: ['charger', key], message }];
  }
  const brownout = numberAt(kit, 'cutoff', 'brownout_V');
  if (brownout !== undefined && ceiling.unit === 'V' && ceiling.value <= brownout)
    return [
      {
        code: 'ceiling-below-reconnect',
        path: ['charger', 'ceiling_V'],
        message: `ceiling_V is ${ceiling.value}, not above brownout_V ${brownout}: the board could never run`,
      },
    ];
  const top = table?.voltage_V.at(-1);
  if (top !== undefined && ceiling.unit === 'V' && ceiling.value > top + 0.25)
    return [
      {
        code: 'ceiling-above-full',
        path: ['charger', 'ceiling_V'],
        message: `ceiling_V is ${ceiling.value}: these cells are full at ${round(top)} V; charging them higher is a hazard`,
      },
    ];
  return [];
}

interface Threshold {
  readonly value: number;
  readonly unit: 'V' | 'soc';
}

function threshold(kit: RawMapping, group: string, name: string): Threshold | undefined {
  for (const unit of ['V', 'soc'] as const) {
    const value = numberAt(kit, group, `${name}_${unit}`);
    if (value !== undefined) return { value, unit };
  }
  return undefined;
}

/** A linear charger passes current only while the panel stands above the cells; at maximum power that must hold up to the ceiling. */
export function linearFindings(kit: RawMapping): Finding[] {
  if (at(kit, 'charger', 'type') !== 'linear') return [];
  const dropout = numberAt(kit, 'charger', 'dropout_V') ?? 0.2;
  const ceiling = threshold(kit, 'charger', 'ceiling') ?? { value: 4.2, unit: 'V' };
  const found = tableOf(kit);
  const table = found === undefined || found instanceof UserError ? NMC811 : found;
  const full = ceiling.unit === 'V' ? ceiling.value : openCircuit_V(table, ceiling.value);
  return mappingsAt(kit, 'panel').flatMap(({ item, path }) => {
    const vmp = numberAt(item, 'vmp_V');
    const diode = numberAt(item, 'blockingDiode_V') ?? 0;
    const need = full + dropout + diode;
    if (vmp === undefined || vmp >= need - 1e-9) return [];
    const parts = `cells at the ceiling ${round(full)} V + dropout ${dropout} V${diode > 0 ? ` + diode ${diode} V` : ''}`;
    return [
      {
        code: 'vmp-too-low-for-linear',
        path: [...path, 'vmp_V'],
        message: `vmp_V is ${vmp}: a linear charger needs at least ${round(need)} V (${parts}); take a panel of higher voltage or a charger that steps up`,
      },
    ];
  });
}

const round = (value: number) => Math.round(value * 100) / 100;
