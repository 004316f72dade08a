export type {
  AgeingCourse,
  CeilingRow,
  LifeRange,
  NotModelled,
} from './ageing.ts';
export { ageYears, ceilingTable, LONGEST_LIFE_years, yearsTo } from './ageing.ts';
export type { AgeingInput, RestingCharge } from './ageing-input.ts';
export type { AgeingModel } from './ageing-laws.ts';
export {
  AGEING_RANGE,
  ageingVoltage_V,
  alphaCapacity,
  alphaResistance,
  betaCapacity,
  betaResistance,
  calendarRate,
  cycleAgeing,
  rmsVoltage_V,
  stepCalendar,
  TIME_EXPONENT,
} from './ageing-laws.ts';
export type { CellBank, CellBankInput } from './bank.ts';
export {
  agedBank,
  bankCapacity_Ah,
  bankTables,
  CELL_DEFAULTS,
  CELL_LIMITS,
  createBank,
  pulseVoltage_V,
  resistance_Ohm,
  selfDischarge_per_h,
  socAtPulse,
  socFromRest,
} from './bank.ts';
export type { Chemistry, OcvPoint, OcvTable } from './chemistry.ts';
export {
  energyShare,
  meanVoltage_V,
  NMC111,
  NMC811,
  OCV_LIMITS,
  ocvTable,
  openCircuit_V,
  stateOfCharge,
  stateOfChargeByEnergy,
  userTable,
} from './chemistry.ts';
export type { Caution, CautionCode } from './safety.ts';
export { CAUTION_END, cautionOf, cautions } from './safety.ts';
export type { CellTables } from './tables.ts';
export { CELL_TABLE_NODES, cellTables, constantVoltageTables, lookUpByEnergy } from './tables.ts';
export type { ChargeWindow } from './temperature.ts';
export {
  CELL_TEMPERATURE_RANGE_degC,
  CHARGE_WINDOW,
  COLD_LOSS_KEPT,
  maxChargeRate_per_h,
  ownDischarge_per_h,
  resistanceRatio,
  usableShare,
} from './temperature.ts';
