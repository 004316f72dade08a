export type { DiodeParameters, OperatingPoint } from './diode.ts';
export { currentAt, maximumPoint, openCircuit, shortCircuit } from './diode.ts';
export type { PanelSheet } from './fit.ts';
export { fitDiode, typicalFromWatts } from './fit.ts';
export { snowCover, snowCoverSeries, uncoveredShare } from './snow.ts';
export type { SoilingRates } from './soiling.ts';
export { monthlyCleanShare, soilingSeries } from './soiling.ts';
export type { CellTemperatureModel } from './temperature.ts';
export {
  cellTemperature,
  cellTemperatureSeries,
  MOUNTINGS,
  SAPM_CLOSE_MOUNT_GLASS,
  SAPM_INSULATED_BACK,
  SAPM_OPEN_RACK_GLASS,
  SAPM_OPEN_RACK_POLYMER,
} from './temperature.ts';
export type { DiodeFigures, ReferenceDiode } from './translate.ts';
export {
  describeDiode,
  REFERENCE_CELL_degC,
  REFERENCE_IRRADIANCE_W_m2,
  SILICON_BAND_GAP_eV,
  scaleDiode,
  tempVocOf,
  translate,
} from './translate.ts';
