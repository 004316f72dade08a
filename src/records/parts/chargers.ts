/** Generic chargers by how they load the panel. */
import type { Part } from './types.ts';

const TYPICAL = 'typical of the kind, from memory';
/** Rise of a small converter's efficiency with its load: 85 to 93 % from 0.1 A upwards, worse below; from memory. */
const CURVE = [
  { power_W: 0.01, efficiency: 0.6 },
  { power_W: 0.05, efficiency: 0.78 },
  { power_W: 0.2, efficiency: 0.86 },
  { power_W: 0.6, efficiency: 0.91 },
  { power_W: 2, efficiency: 0.92 },
  { power_W: 6, efficiency: 0.9 },
];

const charger = (id: string, title: string, fields: Part['fields']): Part => ({
  id: `charger-${id}`,
  title,
  source: TYPICAL,
  fields,
});

export const CHARGERS: readonly Part[] = [
  charger('board-100mA', "A radio board's own linear charger, 100 mA: no power path, knows no temperature", {
    type: 'linear',
    inputVoltage_V: 4.4,
    dropout_V: 0.2,
    currentLimit_mA: 100,
    ownConsumption_uA: 5,
    ceiling_V: 4.2,
    power_path: false,
    cold_lockout: false,
  }),
  charger('linear-500mA', 'Linear, 500 mA, no power path, knows no temperature', {
    type: 'linear',
    inputVoltage_V: 4.4,
    dropout_V: 0.2,
    currentLimit_mA: 500,
    ownConsumption_uA: 5,
    ceiling_V: 4.2,
    power_path: false,
    cold_lockout: false,
  }),
  charger('linear-1000mA-power-path', 'Linear, 1 A, input regulation, power path and thermistor', {
    type: 'linear',
    inputVoltage_V: 4.4,
    dropout_V: 0.2,
    currentLimit_mA: 1000,
    ownConsumption_uA: 10,
    ceiling_V: 4.2,
    chargeMin_degC: 0,
    chargeMax_degC: 45,
  }),
  charger('linear-1000mA-4.1V', 'The same with a ceiling of 4.1 V', {
    type: 'linear',
    inputVoltage_V: 4.4,
    dropout_V: 0.2,
    currentLimit_mA: 1000,
    ownConsumption_uA: 10,
    ceiling_V: 4.1,
  }),
  charger('fixed-5.5V-1A', 'Switching, input held at 5.5 V for six-volt panels, 1 A', {
    type: 'fixed-input',
    inputVoltage_V: 5.5,
    efficiency: 0.88,
    currentLimit_mA: 1000,
    ownConsumption_uA: 30,
    ceiling_V: 4.2,
  }),
  charger('fixed-17V-2A', 'Switching, input held at 17 V for eighteen-volt panels, 2 A', {
    type: 'fixed-input',
    inputVoltage_V: 17,
    efficiency: 0.87,
    currentLimit_mA: 2000,
    ownConsumption_uA: 100,
    ceiling_V: 4.2,
  }),
  charger('voc80-boost-100mA', 'Small harvester, steps up, holds 80 % of the open-circuit voltage, 100 mA', {
    type: 'voc-fraction',
    vocFraction: 0.8,
    efficiency: 0.85,
    currentLimit_mA: 100,
    ownConsumption_uA: 1,
    ceiling_V: 4.15,
  }),
  charger('voc80-1A', 'Steps up and down, holds 80 % of the open-circuit voltage, 1 A', {
    type: 'voc-fraction',
    vocFraction: 0.8,
    efficiency: CURVE,
    currentLimit_mA: 1000,
    ownConsumption_uA: 25,
    ceiling_V: 4.2,
  }),
  charger('tracking-1A', 'Steps down, follows maximum power, 1 A', {
    type: 'tracking',
    trackingEfficiency: 0.97,
    efficiency: CURVE,
    currentLimit_mA: 1000,
    ownConsumption_uA: 40,
    ceiling_V: 4.2,
  }),
  charger('tracking-2A-4.1V', 'Steps down, follows maximum power, 2 A, ceiling 4.1 V', {
    type: 'tracking',
    trackingEfficiency: 0.98,
    efficiency: CURVE,
    currentLimit_mA: 2000,
    ownConsumption_uA: 40,
    ceiling_V: 4.1,
    derateFrom_degC: 45,
    derateTo_degC: 60,
    chargeMax_degC: 60,
  }),
  charger('tracking-1A-iron-phosphate', 'Steps down, follows maximum power, 1 A, ceiling 3.5 V for iron phosphate', {
    type: 'tracking',
    trackingEfficiency: 0.97,
    efficiency: CURVE,
    currentLimit_mA: 1000,
    ownConsumption_uA: 40,
    ceiling_V: 3.5,
  }),
  charger('flat-85', 'One efficiency of 85 % on the rated power (plain mode)', {
    type: 'flat',
    efficiency: 0.85,
    ceiling_soc: 0.9,
  }),
];
