/**
 * What selling a radio with a certified module and lithium cells asks for, by market. Dated facts, no advice: rules change, and
 * whether they hold for a product is for a test house to say. `confirmed`: a rule text, or a page that cites it, was read on the
 * day below; `from memory`: not looked up.
 */
import type { REGIONS } from '../../records/bench/index.ts';

export const MARKET_ROWS_READ = '2026-11-25';
export type Region = (typeof REGIONS)[number];

export interface MarketRow {
  /** Key under which evidence is noted. */
  readonly paper: string;
  readonly name: string;
  /** What is to be had or done. */
  readonly wants: string;
  readonly source: string;
  readonly known: 'confirmed' | 'from memory';
}

const row = (
  paper: string,
  name: string,
  wants: string,
  source: string,
  known: MarketRow['known'] = 'from memory',
): MarketRow => ({
  paper,
  name,
  wants,
  source,
  known,
});

const MODULE = row(
  'module-grant',
  'Approval of the module',
  'The certificate of the radio module for this market and its integration guide: host conditions, power, firmware limits',
  'common practice, no source',
);
const ANTENNA = (source: string) =>
  row(
    'antenna',
    'Antenna permitted',
    'Kind and gain of the antenna lie within those the module was approved with; else a new test',
    source,
  );
const CELLS = row(
  'cell-transport-test',
  'Test summary of the cells',
  'Summary of the transport tests of the cells (UN 38.3), from their maker',
  'UN Manual of Tests and Criteria, 38.3',
);

const EUROPE_WASTE = (market: string, electronic: string, batteries: string) => [
  row(
    'electronic-waste',
    'Registration for electronic waste',
    `Registered as producer ${market} before the first sale; the crossed-out bin on the unit`,
    electronic,
  ),
  row('battery-register', 'Registration for batteries', `Registered as producer of batteries ${market}`, batteries),
];

export const MARKET_ROWS: Readonly<Record<Region, readonly MarketRow[]>> = {
  US: [
    MODULE,
    row(
      'host-label',
      'Host label',
      'A visible label on the outside: "Contains FCC ID" with the identifier of the module',
      '47 CFR 15.212; data sheets of approved modules quote the wording',
      'confirmed',
    ),
    ANTENNA('47 CFR 15.203, 15.204, 15.212'),
    row(
      'unintentional-radiator',
      'Test as unintentional radiator',
      "Supplier's declaration of conformity of the whole unit, with a test report and a responsible party in the country",
      '47 CFR 15 subpart B, 15.101, 2.1077',
    ),
    row(
      'user-text',
      'Statements for the user',
      'The two conditions of operation, on the unit or in its papers',
      '47 CFR 15.19',
    ),
    CELLS,
  ],
  EU: [
    MODULE,
    ANTENNA('Directive 2014/53/EU, article 10; harmonised standard of the band'),
    row(
      'declaration',
      'EU declaration of conformity',
      'Signed by the maker, with the standards applied (radio, safety, compatibility, health); the technical file is kept ten years',
      'Directive 2014/53/EU, articles 10, 18, 21',
    ),
    row(
      'ce-marking',
      'CE marking',
      'On the unit and its packing, with type, serial and postal address of the maker',
      'Directive 2014/53/EU, articles 10, 19, 20',
    ),
    row(
      'cyber-security',
      'Security of radio that reaches the internet',
      'Whether article 3(3)(d) to (f) holds for the unit, and if so the standard applied',
      'Delegated Regulation (EU) 2022/30',
    ),
    row(
      'substances',
      'Restricted substances',
      'Declarations of the suppliers for every part (RoHS)',
      'Directive 2011/65/EU',
    ),
    row(
      'battery-conformity',
      'Conformity of the cells',
      'Cells with CE marking and a declaration, from 18 August 2024',
      'Regulation (EU) 2023/1542, articles 18 to 20, 38, 96',
      'confirmed',
    ),
    ...EUROPE_WASTE('in each country of sale', 'Directive 2012/19/EU', 'Regulation (EU) 2023/1542, article 55').map(
      (r) => (r.paper === 'battery-register' ? { ...r, known: 'confirmed' as const } : r),
    ),
    CELLS,
  ],
  UK: [
    MODULE,
    ANTENNA('Radio Equipment Regulations 2017'),
    row(
      'declaration',
      'UK declaration of conformity',
      'Signed by the maker, with designated standards',
      'Radio Equipment Regulations 2017 (SI 2017/1206)',
    ),
    row(
      'ukca-marking',
      'UKCA or CE marking',
      'On the unit; whether CE is still taken alone is to be asked',
      'Radio Equipment Regulations 2017, as amended',
    ),
    row('substances', 'Restricted substances', 'Declarations of the suppliers for every part', 'SI 2012/3032'),
    ...EUROPE_WASTE('in the country', 'SI 2013/3113', 'SI 2009/890'),
    CELLS,
  ],
  AU: [
    MODULE,
    ANTENNA('Radiocommunications (Short Range Devices) Standard'),
    row(
      'rcm',
      'Compliance mark (RCM)',
      'Registered as responsible supplier; mark on the unit; declaration and test reports kept',
      'Radiocommunications Labelling Notice, ACMA',
    ),
    CELLS,
  ],
  NZ: [
    MODULE,
    ANTENNA('Radiocommunications Regulations (General User Radio Licence)'),
    row(
      'rcm',
      'Compliance mark (RCM or R-NZ)',
      "Supplier's declaration of conformity, compliance folder, mark on the unit",
      'Radiocommunications Regulations 2001',
    ),
    CELLS,
  ],
  JP: [
    MODULE,
    ANTENNA('Radio Act, certification of construction type: antennas are named in it'),
    row(
      'technical-conformity',
      'Mark of technical conformity',
      'Number and mark of the module visible on the unit, or how it is shown',
      'Radio Act, article 38',
    ),
    row(
      'cells-safety',
      'Safety of lithium cells',
      'Whether the cells fall under the electrical safety act (PSE)',
      'Electrical Appliances and Materials Safety Act',
    ),
    CELLS,
  ],
  IN: [
    MODULE,
    ANTENNA('Rules for licence-free use of 865-868 MHz'),
    row(
      'equipment-approval',
      'Equipment type approval',
      'Self-declared approval of the radio (ETA) for the licence-free band',
      'Wireless Planning and Coordination wing',
    ),
    row(
      'cells-registration',
      'Registration of cells',
      'Cells registered under the compulsory scheme, mark on them',
      'IS 16046, Bureau of Indian Standards',
    ),
    ...EUROPE_WASTE('in the country', 'E-Waste (Management) Rules 2022', 'Battery Waste Management Rules 2022'),
    CELLS,
  ],
};
