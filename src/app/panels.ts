import type { ChargerModel, PanelModel } from '../core/charger/index.ts';
import type { PanelSheet } from '../core/panel/index.ts';
import { describeDiode, fitDiode, scaleDiode, typicalFromWatts } from '../core/panel/index.ts';
import { UserError } from '../core/units/index.ts';
import type { Kit, Panel } from '../records/index.ts';
import { panelsOf } from '../records/index.ts';

/** Voltage at maximum power taken for a panel that gives only watts, V: the usual small panel for one lithium-ion cell. */
const TYPICAL_vmp_V = 6;

/** The charger of a kit as the model takes it. */
export function chargerOf(kit: Kit): ChargerModel {
  const c = kit.charger;
  const limit = c.currentLimit_mA === undefined ? {} : { currentLimit_A: c.currentLimit_mA / 1000 };
  switch (c.type) {
    case 'linear':
      return { kind: 'linear', inputVoltage_V: c.inputVoltage_V ?? 4.4, dropout_V: c.dropout_V ?? 0.2, ...limit };
    case 'fixed-input':
      return {
        kind: 'fixed-input',
        inputVoltage_V: c.inputVoltage_V ?? 5.5,
        efficiency: c.efficiency ?? 0.9,
        ...limit,
      };
    case 'voc-fraction':
      return {
        kind: 'voc-fraction',
        vocFraction: c.vocFraction ?? 0.8,
        efficiency: c.efficiency ?? 0.9,
        trackingEfficiency: c.trackingEfficiency ?? 1,
        ...limit,
      };
    case 'tracking':
      return {
        kind: 'tracking',
        efficiency: c.efficiency ?? 0.9,
        trackingEfficiency: c.trackingEfficiency ?? 0.97,
        ...limit,
      };
    case 'flat':
      return { kind: 'flat', efficiency: c.efficiency ?? 0.85, ...limit };
  }
}

/** Watts of a panel under standard conditions: measured, stated, or from its data-sheet figures. */
export function panelPower_W(panel: Panel): number {
  return panel.measuredPower_W ?? panel.power_W ?? (panel.vmp_V ?? TYPICAL_vmp_V) * (panel.imp_A ?? 0);
}

/** Watts of all panels of a kit. */
export function kitPower_W(kit: Kit): number {
  return panelsOf(kit).reduce((sum, panel) => sum + panelPower_W(panel), 0);
}

/** The data sheet of a panel: its five figures, or those of a typical small panel of its watts and volts. */
export function sheetOf(panel: Panel): PanelSheet {
  const { voc_V, isc_A, vmp_V, imp_A, tempIsc_pct_K, tempVoc_pct_K } = panel;
  const five =
    voc_V !== undefined && isc_A !== undefined && vmp_V !== undefined && imp_A !== undefined
      ? { voc_V, isc_A, vmp_V, imp_A }
      : typicalFromWatts({ power_W: panelPower_W(panel), vmp_V: vmp_V ?? TYPICAL_vmp_V });
  return { ...five, tempIsc_pct_K, tempVoc_pct_K };
}

/** A panel as the charger's model takes it: a diode curve, or plain watts for a flat charger. */
export function panelModelOf(panel: Panel, charger: ChargerModel): PanelModel {
  const power_W = panelPower_W(panel);
  if (charger.kind === 'flat')
    return { kind: 'flat', power_W, temperatureCoefficient_pct_K: panel.temperatureCoefficient_pct_K };
  const fitted = named('kit.panel', () => fitDiode(sheetOf(panel)));
  const reference = scaleDiode(fitted, power_W / describeDiode(fitted).power_W);
  return { kind: 'diode', reference, blockingDiode_V: panel.blockingDiode_V ?? 0 };
}

/** Runs `work`; what it finds wrong is told under the field `root`. */
function named<T>(root: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    throw new UserError(
      error.problems.map((p) => ({
        ...p,
        place: { ...p.place, field: p.place?.field === undefined ? root : `${root}.${p.place.field}` },
      })),
    );
  }
}
