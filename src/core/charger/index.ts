export type { Divider, DividerOptions, HysteresisDivider, Threshold } from './divider.ts';
export { dividerFor, hysteresisDivider } from './divider.ts';
export type { ResistorSeries } from './eseries.ts';
export { seriesDecade, seriesValues } from './eseries.ts';
export type { Harvest, PanelPoint } from './harvest.ts';
export { convertHarvest, currentCap_W, flatPower_W, harvestAt, operatingPoint, rawHarvest } from './harvest.ts';
export type {
  ChargerModel,
  DiodePanel,
  Efficiency,
  EfficiencyPoint,
  FixedInputCharger,
  FlatCharger,
  FlatPanel,
  LinearCharger,
  PanelModel,
  Reach,
  TrackingCharger,
  VocFractionCharger,
} from './model.ts';
export { canReach, checkCharger, efficiencyAt, inputVoltage, nominalPower_W } from './model.ts';
export type { BatterySpan, HarvestTable } from './table.ts';
export { applyConversion, availablePower, batteryNodes, batteryPowerAt, harvestTable } from './table.ts';
