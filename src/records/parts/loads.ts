/** Generic states of radio, processor and what hangs on them; currents at the output of the regulator (3.3 V). */
import type { Part } from './types.ts';

const SHEET = 'data sheet of a common sub-GHz transceiver with LoRa modulation, as cited by two independent notes';
const MEMORY = 'typical of the kind, from memory';

const state = (id: string, title: string, kind: string, current_mA: number, source: string): Part => ({
  id,
  title,
  source,
  fields: { kind, current_mA, supply: 'regulated' },
});

/** States of a composed load: receivers, processors, positioning, short-range radio, sensors, lights. */
export const LOAD_STATES: readonly Part[] = [
  state('radio-receive', 'Radio receiving, 125 kHz, switching supply', 'receive', 4.6, SHEET),
  state('radio-receive-boosted', 'Radio receiving, boosted gain, switching supply', 'receive', 5.3, SHEET),
  state('radio-receive-linear', 'Radio receiving, linear supply', 'receive', 8.8, SHEET),
  state('radio-receive-amplifier', 'Radio receiving with a low-noise amplifier before it', 'receive', 14, MEMORY),
  state('radio-standby', 'Radio in standby, crystal running', 'receive', 0.8, SHEET),
  state('radio-sleep', 'Radio asleep, settings kept', 'receive', 0.0006, SHEET),
  state('clock-reference', 'Temperature-compensated oscillator of the radio', 'receive', 1.5, MEMORY),
  state('processor-frugal-run', 'Frugal processor, running at 64 MHz', 'processor', 3.5, MEMORY),
  state('processor-frugal-idle', 'Frugal processor, idle with its clock running', 'processor', 0.6, MEMORY),
  state('processor-frugal-sleep', 'Frugal processor asleep, clock and memory kept', 'processor', 0.003, MEMORY),
  state('processor-fast-run', 'Fast dual-core processor, running at 240 MHz, radios off', 'processor', 45, MEMORY),
  state('processor-fast-light-sleep', 'Fast processor, light sleep', 'processor', 1, MEMORY),
  state('processor-fast-deep-sleep', 'Fast processor, deep sleep', 'processor', 0.02, MEMORY),
  state('positioning-search', 'Satellite positioning, searching', 'positioning', 30, MEMORY),
  state('positioning-track', 'Satellite positioning, tracking', 'positioning', 20, MEMORY),
  state('positioning-standby', 'Satellite positioning, standby with its clock', 'positioning', 0.015, MEMORY),
  state(
    'short-range-advertise',
    'Short-range radio, advertising once a second (mean)',
    'short-range-radio',
    0.05,
    MEMORY,
  ),
  state('short-range-connected', 'Short-range radio, connected (mean)', 'short-range-radio', 0.4, MEMORY),
  state('wireless-lan-listen', 'Wireless LAN, associated and listening', 'short-range-radio', 90, MEMORY),
  state(
    'sensor-air',
    'Sensor of temperature, humidity and pressure (mean at one reading a minute)',
    'sensor',
    0.005,
    MEMORY,
  ),
  state('sensor-current', 'Sensor of current and voltage, running', 'sensor', 0.35, MEMORY),
  state('indicator-light', 'Indicator light, on', 'indicator', 2, MEMORY),
  state('display-emissive', 'Small emissive display, on', 'indicator', 12, MEMORY),
  state('serial-bridge', 'Serial to USB bridge that stays powered', 'other', 8, MEMORY),
];

const transmit = (power_dBm: number, current_mA: number, source: string): Part => ({
  id: `radio-transmit-${power_dBm}dBm`,
  title: `Radio transmitting at ${power_dBm} dBm, 868 or 915 MHz, amplifier set for that power`,
  source,
  fields: { power_dBm, current_mA, supply: 'regulated' },
});

/** Transmission by power. */
export const TRANSMIT_STATES: readonly Part[] = [
  transmit(14, 45, SHEET),
  transmit(17, 58, MEMORY),
  transmit(20, 84, MEMORY),
  transmit(22, 118, SHEET),
  {
    id: 'radio-transmit-30dBm',
    title: 'Radio transmitting at 30 dBm through an external amplifier fed by the cells',
    source: MEMORY,
    fields: { power_dBm: 30, current_mA: 650, supply: 'battery' },
  },
];
