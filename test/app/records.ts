/* Kits and perches for the tests of the use cases and of the command line: invented, and apart from the examples, which may change. */

/** Three cells, a small panel that is followed, a composed load of about 9 mA. */
export const FULL_KIT = `name: Ash 3
panel:
  voc_V: 7.2
  isc_A: 0.576
  vmp_V: 6.0
  imp_A: 0.533
  cover: etfe
charger:
  type: tracking
  trackingEfficiency: 0.97
  efficiency:
    - { power_W: 0.01, efficiency: 0.6 }
    - { power_W: 0.05, efficiency: 0.78 }
    - { power_W: 0.2, efficiency: 0.86 }
    - { power_W: 0.6, efficiency: 0.91 }
    - { power_W: 2, efficiency: 0.92 }
    - { power_W: 6, efficiency: 0.9 }
  currentLimit_mA: 1000
  ownConsumption_uA: 40
  ceiling_V: 4.1
cutoff:
  cutoff_V: 3.2
  reconnect_V: 3.6
cells:
  count: 3
  capacity_mAh: 3350
  chemistry: nmc811
  resistance_mOhm: 80
load:
  regulator: { type: switching, output_V: 3.3, quiescent_uA: 20, efficiency: 0.9 }
  transmit: { power_dBm: 14, current_mA: 45, airtime_s_per_h: 120 }
  parts:
    - { name: Receiver, kind: receive, current_mA: 5.3 }
    - { name: Clock, kind: receive, current_mA: 1.5 }
    - { name: Processor, kind: processor, current_mA: 1.4 }
  transmitPeak_mA: 60
  inrush_mA: 250
enclosure:
  solarGain_K: 10
`;

/** A board with its own charger and without cut-off. */
export const BARE_KIT = `name: Bare board
panel: { part: panel-1W-6V-epoxy, mounting: lid, blockingDiode_V: 0.3 }
charger: { part: charger-board-100mA }
cutoff: { none: true, brownout_V: 3.0, restartsByItself: false }
cells: { part: cell-18650-2600, count: 1 }
load:
  regulator: { type: linear, output_V: 3.3, quiescent_uA: 60 }
  transmit: { part: radio-transmit-22dBm, airtime_s_per_h: 90 }
  parts:
    - { part: radio-receive }
    - { part: processor-frugal-run }
`;

/** An alpine shoulder with snow and a moderate skyline. */
export const HUT = `name: Hut
latitude_deg: 46.4
longitude_deg: 10.2
elevation_m: 2140
tilt_deg: 70
azimuth_deg: 180
horizon:
  - { azimuth_deg: 90, elevation_deg: 8 }
  - { azimuth_deg: 150, elevation_deg: 13 }
  - { azimuth_deg: 200, elevation_deg: 10 }
  - { azimuth_deg: 270, elevation_deg: 14 }
albedo: [0.7, 0.7, 0.7, 0.6, 0.4, 0.2, 0.2, 0.2, 0.2, 0.25, 0.5, 0.7]
snow:
  snowfall_cm: [75, 70, 65, 55, 20, 4, 0, 0, 6, 25, 60, 75]
soiling_pct: 1
climate:
  monthly:
    ghi_kWh_m2_day: [1.85, 2.85, 4.15, 5.2, 5.6, 5.95, 5.95, 5.05, 4.05, 2.85, 1.9, 1.5]
    temperature_degC: [-6.5, -6.4, -3.9, -1.0, 3.6, 7.1, 9.5, 9.2, 6.0, 2.7, -2.6, -5.6]
`;

/** The foot of a gorge: no sun from November to January, and cold. */
export const GORGE = `name: Gorge
latitude_deg: 46.38
longitude_deg: 10.23
elevation_m: 1310
tilt_deg: 60
azimuth_deg: 180
horizon:
  - { azimuth_deg: 60, elevation_deg: 26 }
  - { azimuth_deg: 140, elevation_deg: 34 }
  - { azimuth_deg: 220, elevation_deg: 30 }
  - { azimuth_deg: 300, elevation_deg: 22 }
albedo: 0.3
snow: none
soiling_pct: 2
climate:
  monthly:
    ghi_kWh_m2_day: [1.35, 2.25, 3.5, 4.6, 5.2, 5.6, 5.6, 4.75, 3.6, 2.35, 1.45, 1.05]
    temperature_degC: [-5.8, -4.4, -0.4, 3.9, 8.6, 12.3, 14.6, 14.0, 10.4, 5.8, -0.4, -5.0]
`;

/** A southern shed; the climate is the nearest built-in one. */
export const SHED = `name: Shed
latitude_deg: -44.3
longitude_deg: 168.9
elevation_m: 620
tilt_deg: 60
azimuth_deg: 0
albedo: 0.22
climate: nearest
`;
