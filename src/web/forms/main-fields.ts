/** Which fields the forms show, in which order and under which words. Everything else stands in the text. */
import { CELLS, CHARGERS, LOAD_STATES, PANELS, type Part, TRANSMIT_STATES } from '../../records/index.ts';
import type { Path } from '../../records/loose.ts';

export interface FormField {
  readonly path: Path;
  readonly label: string;
  /** Shown only behind "More fields". */
  readonly more?: boolean;
}

export interface FormGroup {
  readonly heading: string;
  /** Generic parts that may fill the group, and the path of the group. */
  readonly parts?: { readonly path: Path; readonly list: readonly Part[] };
  readonly fields: readonly FormField[];
}

const field = (path: string, label: string, more = false): FormField => ({
  path: path.split('.'),
  label,
  ...(more ? { more } : {}),
});

export const KIT_FORM: readonly FormGroup[] = [
  { heading: 'Name', fields: [field('name', 'name'), field('revision', 'revision'), field('mode', 'mode', true)] },
  {
    heading: 'Panel',
    parts: { path: ['panel'], list: PANELS },
    fields: [
      field('panel.power_W', 'power'),
      field('panel.measuredPower_W', 'power, measured'),
      field('panel.mounting', 'mounting'),
      field('panel.cover', 'cover'),
      field('panel.voc_V', 'open-circuit voltage', true),
      field('panel.isc_A', 'short-circuit current', true),
      field('panel.vmp_V', 'voltage at maximum power', true),
      field('panel.imp_A', 'current at maximum power', true),
      field('panel.tempVoc_pct_K', 'voltage with temperature', true),
      field('panel.tempIsc_pct_K', 'current with temperature', true),
      field('panel.blockingDiode_V', 'drop of a blocking diode', true),
      field('panel.tilt_deg', 'tilt fixed by the kit', true),
      field('panel.azimuth_deg', 'direction fixed by the kit', true),
      field('panel.ageing_pct_year', 'fading', true),
      field('panel.shade', 'light that passes trees', true),
    ],
  },
  {
    heading: 'Charger',
    parts: { path: ['charger'], list: CHARGERS },
    fields: [
      field('charger.type', 'type'),
      field('charger.ceiling_V', 'ceiling, voltage'),
      field('charger.ceiling_soc', 'ceiling, state of charge'),
      field('charger.currentLimit_mA', 'most charge current'),
      field('charger.power_path', 'panel feeds the load while charging is blocked'),
      field('charger.cold_lockout', 'no charging in the cold'),
      field('charger.chargeMin_degC', 'coldest charging'),
      field('charger.chargeMax_degC', 'hottest charging'),
      field('charger.inputVoltage_V', 'panel held at', true),
      field('charger.vocFraction', 'panel held at this share of Voc', true),
      field('charger.trackingEfficiency', 'share of maximum power found', true),
      field('charger.dropout_V', 'dropout', true),
      field('charger.ownConsumption_uA', 'own consumption', true),
      field('charger.derateFrom_degC', 'current falls from', true),
      field('charger.derateTo_degC', 'current falls to zero at', true),
    ],
  },
  {
    heading: 'Cells',
    parts: { path: ['cells'], list: CELLS },
    fields: [
      field('cells.count', 'cells in parallel'),
      field('cells.capacity_mAh', 'capacity of one cell'),
      field('cells.measuredCapacity_mAh', 'capacity, measured'),
      field('cells.chemistry', 'chemistry'),
      field('cells.age_years', 'age at the start'),
      field('cells.resistance_mOhm', 'resistance of one cell', true),
      field('cells.selfDischarge_pct_month', 'self-discharge', true),
      field('cells.voltage_V', 'constant voltage (plain mode)', true),
    ],
  },
  {
    heading: 'Cut-off',
    fields: [
      field('cutoff.cutoff_V', 'cut-off'),
      field('cutoff.reconnect_V', 'reconnect'),
      field('cutoff.tolerance_mV', 'tolerance of both', true),
      field('cutoff.drift_uV_K', 'drift of both', true),
      field('cutoff.cutoff_soc', 'cut-off, state of charge', true),
      field('cutoff.reconnect_soc', 'reconnect, state of charge', true),
      field('cutoff.none', 'no cut-off at all', true),
      field('cutoff.brownout_V', 'brown-out', true),
      field('cutoff.restartsByItself', 'starts again by itself', true),
    ],
  },
  {
    heading: 'Load',
    fields: [
      field('load.average_mA', 'average, in place of the parts'),
      field('load.voltage_V', 'average at this voltage', true),
      field('load.transmit.power_dBm', 'transmit power', true),
      field('load.transmit.airtime_s_per_h', 'time on air', true),
      field('load.regulator.type', 'regulator', true),
      field('load.regulator.output_V', 'output of the regulator', true),
      field('load.regulator.quiescent_uA', 'regulator without load', true),
      field('load.regulator.efficiency', 'efficiency of the regulator', true),
      field('load.transmitPeak_mA', 'transmit pulse at the cells', true),
      field('load.inrush_mA', 'inrush at the restart', true),
      field('load.parts', 'states'),
    ],
  },
  { heading: 'Housing', fields: [field('enclosure.solarGain_K', 'warming in full sun')] },
];

export const PERCH_FORM: readonly FormGroup[] = [
  {
    heading: 'Place',
    fields: [
      field('name', 'name'),
      field('latitude_deg', 'latitude, north positive'),
      field('longitude_deg', 'longitude, east positive'),
      field('elevation_m', 'height above the sea'),
      field('height_m', 'antenna above ground'),
      field('utcOffset_h', 'local time less UTC', true),
    ],
  },
  {
    heading: 'Panel as it stands',
    fields: [
      field('tilt_deg', 'tilt'),
      field('azimuth_deg', 'direction, clockwise from north'),
      field('shade', 'light that passes trees', true),
    ],
  },
  { heading: 'Skyline', fields: [field('horizon', 'skyline')] },
  {
    heading: 'Ground, snow and dirt',
    fields: [
      field('albedo', 'light that the ground reflects'),
      field('snow.snowfall_cm', 'snowfall by month'),
      field('soiling_pct', 'loss by dirt'),
      field('enclosureGain_K', 'warming of the cells in full sun'),
      field('wind_m_s', 'mean wind', true),
    ],
  },
  {
    heading: 'Climate',
    fields: [
      field('climate', 'climate'),
      field('climate.monthly.ghi_kWh_m2_day', 'light on the level ground'),
      field('climate.monthly.temperature_degC', 'mean temperature'),
      field('climate.monthly.source', 'where the means come from', true),
    ],
  },
];

/** Titles of all generic parts by their name. */
export const PART_TITLES: ReadonlyMap<string, string> = new Map(
  [...PANELS, ...CHARGERS, ...CELLS, ...LOAD_STATES, ...TRANSMIT_STATES].map((part) => [part.id, part.title]),
);
