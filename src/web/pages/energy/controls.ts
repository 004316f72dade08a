/** What can be turned on a design: value, range and the settings that a new value makes. */
import { nodeOf } from '../../../app/node-of.ts';
import { kitPower_W, panelPower_W } from '../../../app/panels.ts';
import { REFERENCE_V } from '../../../core/load/index.ts';
import { type Kit, type Perch, panelsOf, winterTilt_deg } from '../../../records/index.ts';

export interface Control {
  /** Name of the field, also for its problems. */
  readonly field: string;
  readonly label: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly note?: string;
  readonly fixed?: boolean;
  readonly settingsFor: (value: number | string) => readonly string[];
}

const written = (value: number | string) => (typeof value === 'number' ? String(value) : JSON.stringify(value));
const one =
  (field: string) =>
  (value: number | string): readonly string[] => [`${field}=${written(value)}`];

/** Settings that give all panels of a kit another power, in proportion. */
export function powerSettings(kit: Kit, power_W: number | string): readonly string[] {
  const panels = panelsOf(kit);
  if (panels.length === 1 && !Array.isArray(kit.panel)) return one('kit.panel.power_W')(power_W);
  const now_W = kitPower_W(kit);
  return panels.map((panel, i) => {
    const share =
      typeof power_W === 'number' ? Number(((panelPower_W(panel) * power_W) / now_W).toPrecision(4)) : power_W;
    return `kit.panel[${i}].power_W=${written(share)}`;
  });
}

/** Does the kit fix the tilt of its panels, so that the perch has no say? */
export const fixesTilt = (kit: Kit): boolean => panelsOf(kit).some((p) => p.tilt_deg !== undefined);

/** Mean current of the load at the cells, mA. */
function load_mA(kit: Kit): number {
  if (kit.load.average_mA !== undefined) return kit.load.average_mA;
  const node = nodeOf(kit);
  return Number((1000 * (node.loadCurrent_A + node.loadPower_W / REFERENCE_V)).toPrecision(3));
}

function ceiling(kit: Kit): Control {
  const { charger, cells } = kit;
  if (charger.ceiling_V !== undefined && kit.mode !== 'plain') {
    const table = cells.chemistry === 'table' ? cells.table : undefined;
    const high = table?.at(-1)?.voltage_V ?? 4.2;
    const low = table ? high - 0.4 : 3.8;
    return {
      field: 'kit.charger.ceiling_V',
      label: 'charge ceiling',
      value: charger.ceiling_V,
      low: Number(low.toFixed(2)),
      high: Number(high.toFixed(2)),
      step: 0.01,
      settingsFor: one('kit.charger.ceiling_V'),
    };
  }
  return {
    field: 'kit.charger.ceiling_soc',
    label: 'charge ceiling, state of charge',
    value: charger.ceiling_soc ?? 1,
    low: 0.5,
    high: 1,
    step: 0.01,
    settingsFor: one('kit.charger.ceiling_soc'),
  };
}

/** The upper end of a slider that begins at `value`: about four times as far, on a round number. */
function reach(value: number, least: number): number {
  const wanted = Math.max(least, 4 * value);
  const unit = 10 ** Math.floor(Math.log10(wanted));
  return Math.ceil(wanted / unit) * unit;
}

/** The five controls, for the design as it is saved (ranges) and as it stands (values). */
export function controlsOf(saved: { kit: Kit; perch: Perch }, now: { kit: Kit; perch: Perch }): readonly Control[] {
  const fixed = fixesTilt(now.kit);
  const tilt_deg = now.perch.tilt_deg ?? winterTilt_deg(now.perch.latitude_deg ?? 45);
  return [
    {
      field: 'kit.cells.count',
      label: 'cells in parallel',
      value: now.kit.cells.count,
      low: 1,
      high: Math.max(12, 3 * saved.kit.cells.count),
      step: 1,
      settingsFor: one('kit.cells.count'),
    },
    {
      field: 'kit.panel.power_W',
      label: 'panel',
      value: Number(kitPower_W(now.kit).toPrecision(3)),
      low: 0.2,
      high: reach(kitPower_W(saved.kit), 6),
      step: 0.1,
      settingsFor: (value) => powerSettings(saved.kit, value),
    },
    {
      field: 'perch.tilt_deg',
      label: 'tilt of the panel',
      value: fixed ? panelsOf(now.kit)[0]!.tilt_deg! : tilt_deg,
      low: 0,
      high: 90,
      step: 1,
      fixed,
      ...(fixed ? { note: 'The kit fixes the tilt of its panels.' } : {}),
      settingsFor: one('perch.tilt_deg'),
    },
    ceiling(now.kit),
    {
      field: 'kit.load.average_mA',
      label: 'load, average',
      value: load_mA(now.kit),
      low: 0.5,
      high: reach(load_mA(saved.kit), 40),
      step: 0.1,
      ...(saved.kit.load.average_mA === undefined
        ? { note: 'Changed, it takes the place of the composed load as a steady current.' }
        : {}),
      settingsFor: one('kit.load.average_mA'),
    },
  ];
}
