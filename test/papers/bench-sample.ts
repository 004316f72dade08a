/** Invented papers of an invented batch. */
import type { Carton, Certificate, PackingList, QuickStart } from '../../src/papers/index.ts';

export const CARD: QuickStart = {
  kit: 'Alder 3',
  revision: 'revision C',
  maker: 'Werkstatt Ossel',
  contact: 'the hut and pasture association, Ossel',
  cells: { count: 3, nominal_V: 3.6, capacity_mAh: 3350 },
  panel_W: 3.2,
  chargeStops_degC: 0,
  panelFeeds: true,
  panelFaces: 'south',
  tilt_deg: 60,
  cellsApart: false,
  radio: {
    region: 'EU',
    frequency_MHz: 869.525,
    setting: 'SF8 / 125 kHz / 4:6',
    power_dBm: 14,
    antennaGain_dBi: 2,
    limits: [
      '869.4 to 869.65 MHz: at most 500 mW ERP, on the air at most 10 % of the time (Decision (EU) 2017/1483 as in a national table; confirmed).',
      'The band and the power at the antenna decide, not the power at the connector.',
    ],
    read: '2026-11-25',
  },
};

export const CERTIFICATE: Certificate = {
  serial: 'A07-0012-K',
  kit: 'Alder 3',
  revision: 'revision C',
  batch: 'A-07',
  maker: 'Werkstatt Ossel',
  facts: [
    ['radio setting', 'SF8 / 125 kHz / 4:6 at 869.525 MHz'],
    ['cells', 'lot L-22, three of 3,350 mAh'],
  ],
  gates: [
    {
      name: 'sleep current',
      limits: 'at most 12 µA',
      value: '8.4 µA',
      verdict: 'passed',
      instrument: 'bench meter 2',
      person: 'M. Öz',
      day: '2030-01-21',
    },
    {
      name: 'antenna match, 863 to 870 MHz',
      limits: 'return loss at least 10 dB',
      value: '9.2 dB',
      verdict: 'overridden',
      instrument: 'sweep 1',
      person: 'M. Öz',
      day: '2030-01-22',
      override: { person: 'L. Brenk', reason: 'for the workshop roof only; told to the customer' },
    },
    {
      name: 'cut-off voltage',
      limits: '3.00 to 3.20 V',
      value: '3.11 V',
      verdict: 'passed',
      instrument: 'supply 1',
      person: 'K. Varn',
      day: '2030-01-22',
      rework: '3.31 V on 2030-01-21: divider resistor replaced, measured again',
    },
    {
      name: 'spray test',
      limits: 'no water inside after 10 min',
      value: 'dry',
      verdict: 'passed',
      instrument: 'hose stand',
      person: 'K. Varn',
      day: '2030-01-23',
    },
  ],
  cautions: [
    'Charging lithium-ion cells below 0 °C plates lithium. Local law, codes and licensed practice decide; figures are estimates.',
  ],
};

export const CARTON: Carton = {
  maker: 'Werkstatt Ossel',
  address: ['Dorfplatz 1', 'Ossel'],
  kit: 'Alder 3',
  units: 6,
  cellsPerUnit: 3,
  nominal_V: 3.6,
  capacity_mAh: 3350,
  packages: 2,
  packing: 'contained',
  stateOfCharge: 0.45,
  day: '2026-11-25',
};

export const PACKING: PackingList = {
  number: 'P-0031',
  maker: 'Werkstatt Ossel',
  address: ['Dorfplatz 1', 'Ossel'],
  customer: ['Sennerei Tarnwick', 'Hochweg 3', 'Tarnwick'],
  day: '2030-02-01',
  lines: [
    { what: 'Alder 3, revision C', count: 3, serials: ['A07-0012-K', 'A07-0013-H', 'A07-0014-E'] },
    { what: 'Quick start card', count: 3, serials: [] },
  ],
  notes: ['Cells at about 30 % for the journey: charge before the first winter.'],
  cautions: ['Lithium-ion cells inside: keep dry, do not crush.'],
};
