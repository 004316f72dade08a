import { type CellBank, createBank, NMC111, NMC811, type OcvTable, userTable } from '../core/cells/index.ts';
import type { Assumption } from '../core/energy/index.ts';
import type { CutoffSpec, NodeSpec } from '../core/energy/node.ts';
import { averageLoad, type ComposedLoad, composeLoad } from '../core/load/index.ts';
import type { Kit } from '../records/index.ts';

/** What age has made of the cells. */
export interface CellAge {
  readonly capacityShare: number;
  readonly resistanceFactor: number;
}

export const NEW_CELLS: CellAge = { capacityShare: 1, resistanceFactor: 1 };

/** The load of a kit, composed or average. */
export function loadOf(kit: Kit): ComposedLoad {
  const { load } = kit;
  if (load.average_mA !== undefined)
    return averageLoad({
      average_mA: load.average_mA,
      voltage_V: load.voltage_V,
      transmitPeak_mA: load.transmitPeak_mA,
      inrush_mA: load.inrush_mA,
    });
  return composeLoad({
    parts: load.parts?.map((part, i) => ({
      ...part,
      name: part.name ?? part.kind ?? part.part ?? `part ${i + 1}`,
    })),
    transmit: load.transmit,
    regulator: load.regulator,
    transmitPeak_mA: load.transmitPeak_mA,
    inrush_mA: load.inrush_mA,
  });
}

/** The voltage table of a kit's cells. */
export function ocvOf(kit: Kit): OcvTable {
  const { chemistry, table } = kit.cells;
  if (chemistry === 'nmc111') return NMC111;
  if (chemistry === 'nmc811' || table === undefined) return NMC811;
  return userTable(table.map((point) => ({ soc: point.soc, voltage_V: point.voltage_V })));
}

/** The cells of a kit at an age. */
export function bankOf(kit: Kit, age: CellAge = NEW_CELLS): CellBank {
  const { cells } = kit;
  return createBank({
    table: ocvOf(kit),
    count: cells.count,
    capacity_mAh: cells.capacity_mAh,
    measuredCapacity_mAh: cells.measuredCapacity_mAh,
    resistance_mOhm: cells.resistance_mOhm,
    selfDischarge_pct_month: cells.selfDischarge_pct_month,
    capacityShare: age.capacityShare,
    resistanceFactor: age.resistanceFactor,
  });
}

function cutoffOf(kit: Kit): CutoffSpec {
  const c = kit.cutoff;
  if (c.none)
    return {
      kind: 'none',
      brownout_V: c.brownout_V!,
      restarts: c.restartsByItself ?? false,
      restart_V: c.restart_V ?? c.brownout_V!,
    };
  if (c.cutoff_V !== undefined && c.reconnect_V !== undefined)
    return { kind: 'voltage', cutoff_V: c.cutoff_V, reconnect_V: c.reconnect_V };
  return { kind: 'soc', cutoff: c.cutoff_soc!, reconnect: c.reconnect_soc! };
}

/** Reads a kit as the node of the hourly balance. */
export function nodeOf(kit: Kit, age: CellAge = NEW_CELLS): NodeSpec {
  const { charger, cells } = kit;
  const plain = kit.mode === 'plain';
  const load = loadOf(kit);
  const from = charger.derateFrom_degC;
  const to = charger.derateTo_degC ?? (from === undefined ? undefined : from + 20);
  const capacity_Ah = (cells.count * (cells.measuredCapacity_mAh ?? cells.capacity_mAh)) / 1000;
  return {
    cells: plain
      ? { kind: 'plain', voltage_V: cells.voltage_V, capacity_Ah: capacity_Ah * age.capacityShare }
      : { kind: 'bank', bank: bankOf(kit, age) },
    ceiling: charger.ceiling_V !== undefined ? { voltage_V: charger.ceiling_V } : { soc: charger.ceiling_soc ?? 1 },
    cutoff: cutoffOf(kit),
    chargeMin_degC: charger.chargeMin_degC,
    chargeMax_degC: plain ? 200 : charger.chargeMax_degC,
    powerPath: charger.power_path,
    coldLockout: charger.cold_lockout,
    ownUse_A: plain ? 0 : charger.ownConsumption_uA / 1e6,
    outputLimit_A: charger.currentLimit_mA === undefined ? Number.POSITIVE_INFINITY : charger.currentLimit_mA / 1000,
    outputShare: (t) => (from === undefined || to === undefined ? 1 : Math.min(1, Math.max(0, (to - t) / (to - from)))),
    ...(plain
      ? {
          // The plain load is a constant current at the constant voltage.
          loadCurrent_A: 0,
          loadPower_W: (load.constantCurrent_mA * cells.voltage_V + load.constantPower_mW) / 1000,
        }
      : { loadCurrent_A: load.constantCurrent_mA / 1000, loadPower_W: load.constantPower_mW / 1000 }),
    pulse_A: plain ? 0 : load.peak_mA / 1000,
    inrush_A: plain ? 0 : load.inrush_mA / 1000,
  };
}

/** What the model takes for granted about a kit where the file is silent, beyond the schema's own defaults. */
export function kitAssumptions(kit: Kit): Assumption[] {
  const list: Assumption[] = loadOf(kit).notes.map((note) => ({
    field: 'kit.load',
    value: note,
    why: 'the kit does not say',
  }));
  if (kit.mode === 'plain') return list;
  const { charger } = kit;
  const panels = Array.isArray(kit.panel) ? kit.panel : [kit.panel];
  if (charger.type !== 'flat' && panels.some((p) => p.voc_V === undefined))
    list.push({
      field: 'kit.panel',
      value: 'Voc 1.2 x Vmp, Isc 1.08 x Imp',
      why: 'only watts and volts are given: the curve of a typical small panel is taken (from memory)',
    });
  return list;
}
