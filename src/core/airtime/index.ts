export { airtimeShare_pct, messagesPerHour, pauseAfter_ms } from './duty.ts';
export type { MessageEnergyInput } from './energy.ts';
export { messageEnergy_mJ, TRANSCEIVER_SUPPLY_mA } from './energy.ts';
export { CAPTURE_dB, leastSf, noiseFloor_dBm, sensitivity_dBm, snrLimit_dB, survivalRatio_dB } from './link.ts';
export type { CodingRate, RadioSetting } from './setting.ts';
export {
  BANDWIDTHS_kHz,
  exactBandwidth_kHz,
  formatSetting,
  parseCodingRate,
  settingProblems,
  symbolTime_ms,
} from './setting.ts';
export type { Packet, TimeOnAir } from './time-on-air.ts';
export { payloadRate_bit_s, timeOnAir } from './time-on-air.ts';
