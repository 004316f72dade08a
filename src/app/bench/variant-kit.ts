/** A kit with the radio and antenna of a region's variant, as settings of its record. */
import {
  exactBandwidth_kHz,
  formatSetting,
  parseCodingRate,
  type RadioSetting,
  timeOnAir,
} from '../../core/airtime/index.ts';
import type { Setting } from '../../formats/setting.ts';
import { antennaOf, type RadioSettingOf, radioOf, settingOfVariant, type Variant } from '../../records/bench/index.ts';
import type { Kit } from '../../records/index.ts';
import { figure } from '../words.ts';
import { settingOf } from './unit-values.ts';

/** A short text, as `path` takes it, and the usual preamble: the message by which times on the air are compared. */
const MESSAGE = { payload_bytes: 40, preamble_symbols: 8 } as const;

/**
 * What a variant changes in a kit. The load follows the radio: its time on the air in the ratio of one short message in both
 * settings (the same messages are sent), its current by the variant's word, or typical of the power where that is another.
 */
export function variantSettings(kit: Kit, variant: Variant): { settings: Setting[]; notes: string[] } {
  const radio = settingOfVariant(variant);
  const antenna = antennaOf(variant);
  const settings: Setting[] = [];
  const notes: string[] = [];
  if (radio !== undefined) {
    const { frequency_MHz, spreadingFactor, bandwidth_kHz, codingRate, power_dBm } = radio;
    const told = { frequency_MHz, spreadingFactor, bandwidth_kHz, codingRate, power_dBm };
    for (const [field, value] of Object.entries(told)) settings.push(settingOf(['radio', field], value));
    notes.push(
      `radio of the ${variant.region} variant: ${formatSetting(packetOf(radio))} at ${frequency_MHz} MHz, ${power_dBm} dBm`,
    );
    const load = loadSettings(kit, radio, radioOf(variant).transmitCurrent_mA);
    settings.push(...load.settings);
    notes.push(...load.notes);
  }
  const { gain_dBi, feederLoss_dB } = antenna;
  // An antenna of which nothing is told but its part says nothing about a link; and a kit has none without a gain.
  if (gain_dBi !== undefined) {
    settings.push(settingOf(['antenna', 'gain_dBi'], gain_dBi));
    // What was measured was another antenna.
    for (const field of ['sweep', 'vswr'] as const)
      if (kit.antenna?.[field] !== undefined) settings.push(settingOf(['antenna', field], null));
    notes.push(`antenna of the ${variant.region} variant: ${gain_dBi} dBi`);
  }
  if (feederLoss_dB !== undefined && (gain_dBi !== undefined || kit.antenna !== undefined))
    settings.push(settingOf(['antenna', 'feederLoss_dB'], feederLoss_dB));
  return { settings, notes };
}

function loadSettings(kit: Kit, radio: RadioSettingOf, transmitCurrent_mA: number | undefined) {
  const settings: Setting[] = [];
  const notes: string[] = [];
  const { transmit } = kit.load;
  if (transmit === undefined) return { settings, notes };
  const before_dBm = transmit.power_dBm ?? kit.radio?.power_dBm;
  if (transmitCurrent_mA !== undefined) {
    settings.push(settingOf(['load', 'transmit', 'power_dBm'], radio.power_dBm));
    settings.push(settingOf(['load', 'transmit', 'current_mA'], transmitCurrent_mA));
  } else if (before_dBm !== undefined && before_dBm !== radio.power_dBm) {
    for (const field of ['part', 'current_mA']) settings.push(settingOf(['load', 'transmit', field], null));
    settings.push(settingOf(['load', 'transmit', 'power_dBm'], radio.power_dBm));
    notes.push(`sending draws the current typical of ${radio.power_dBm} dBm: the variant does not tell its own`);
  }
  if (kit.radio !== undefined) {
    const message_ms = (r: Parameters<typeof packetOf>[0]) => timeOnAir({ ...packetOf(r), ...MESSAGE }).timeOnAir_ms;
    const ratio = message_ms(radio) / message_ms(kit.radio);
    if (Math.abs(ratio - 1) > 1e-9) {
      const airtime_s_per_h = Number((transmit.airtime_s_per_h * ratio).toPrecision(6));
      settings.push(settingOf(['load', 'transmit', 'airtime_s_per_h'], airtime_s_per_h));
      notes.push(
        `the same messages are ${figure(airtime_s_per_h, 3)} s of the hour on the air (${figure(transmit.airtime_s_per_h, 3)} s in the kit's setting)`,
      );
    }
  }
  return { settings, notes };
}

const packetOf = (radio: Pick<RadioSettingOf, 'spreadingFactor' | 'bandwidth_kHz' | 'codingRate'>): RadioSetting => ({
  sf: radio.spreadingFactor,
  bandwidth_kHz: exactBandwidth_kHz(radio.bandwidth_kHz),
  codingRate: parseCodingRate(radio.codingRate),
});
