/** Rows of the markets outside Europe: the United States, Australia, New Zealand, Japan, India. */
import type { MarketRow } from './market-row.ts';
import { CELLS, moduleRow, PAGES, row } from './market-rows-shared.ts';

const TITLE_47 = 'https://www.ecfr.gov/current/title-47/chapter-I/subchapter-A/part-15';

export const US_ROWS: readonly MarketRow[] = [
  moduleRow({
    wants:
      'The grant of the module (FCC identifier) as a single modular approval, and its integration guide. A limited module holds only for the hosts that its grantee has approved',
    source: '47 CFR 15.212; guide by KDB publication 996369 D03, sections 2.2 to 2.10',
    where: [PAGES.module15, PAGES.hostGuide],
  }),
  row('host-label', 'Host label', {
    wants:
      'On the outside of the unit "Contains FCC ID" with the identifier of the module, where that is not to be seen',
    of: 'maker of the unit',
    proof: 'photo of the label on a unit of the batch, the identifier legible',
    source: '47 CFR 15.212(a)(1)(vi)(A)',
    where: [PAGES.module15],
    doubt: 'read as guides of modules quote it, not in the edition of today',
  }),
  row('antenna', 'Antenna permitted', {
    wants:
      'Of a type that the module was approved with, of equal or less gain; fixed, or with a coupling that common antennas do not fit. Another type or more gain asks the grantee for a change of the grant',
    of: 'maker of the unit',
    proof: 'data sheet of the antenna beside the list of antennas of the grant',
    source: '47 CFR 15.203, 15.204(c), 15.212(a)(1)(iv); limits 15.247(b)(4)',
    seen: 'partly read',
    where: [`${TITLE_47}/subpart-C/section-15.203`, PAGES.module15],
    doubt:
      '"same type, equal or less gain" is from memory of 15.204(c)(4). That a standard connector is forbidden except where an installer by trade puts it up was read; the exception does not help a single module',
  }),
  row('unintentional-radiator', 'Test as unintentional radiator', {
    wants:
      'The whole unit with the module fitted and idle keeps the class B limits (subpart B); supplier’s declaration of conformity, or certification',
    of: 'the responsible party: maker, importer or who assembles it',
    proof: 'test report of a laboratory and the signed declaration',
    source: '47 CFR 15.101 (table), 15.109; KDB 996369 D03 section 2.10 and D04',
    seen: 'partly read',
    where: ['http://federal.elaws.us/cfr/47-cfr-15.101(b)', PAGES.hostGuide],
    doubt: 'the limits of 15.109 and how little a unit of this kind may need are from memory: ask a test house',
  }),
  row('responsible-party', 'Responsible party in the country', {
    wants:
      'A statement with each unit: name of the product, that it complies with part 15, and name, address and telephone number or web contact of a responsible party within the United States',
    of: 'importer, or maker in the country',
    proof: 'the printed statement, and the agreement of that party',
    source: '47 CFR 2.909, 2.1077',
    seen: 'partly read',
    where: ['http://mai.hallikainen.org/org/FCC/FccRules/2009/2/1077'],
    doubt: 'read in the edition of 2009; that a web contact may stand for the telephone is from memory',
  }),
  row('user-text', 'Statements for the user', {
    wants:
      'The two conditions of operation on the unit (in its papers where the unit is too small for 4 point type); in the manual that changes not approved may end the right to use it, and the class B notice',
    of: 'maker of the unit',
    proof: 'photo of the label and the pages of the manual',
    source: '47 CFR 15.19(a)(3) and (5), 15.21, 15.105(b)',
    where: [
      'https://codes.findlaw.com/cfr/title-47-telecommunication/cfr-sect-47-15-19/',
      `${TITLE_47}/subpart-A/section-15.21`,
      'https://codes.findlaw.com/cfr/title-47-telecommunication/cfr-sect-47-15-105/',
    ],
  }),
  row('exposure', 'Distance to people', {
    wants:
      'The distance that the grant of the module asks for, often 20 cm, is kept by how the unit is mounted, and its manual says so',
    of: 'maker of the unit',
    proof: 'the sentence in the manual and the condition of the grant',
    source: '47 CFR 2.1091; KDB 447498',
    seen: 'partly read',
    where: ['https://fcc.report/FCC-ID/RFD-CT301/4415860'],
    doubt:
      'that a module is approved for hosts kept away from people was read in the guide of one; the figure that holds stands in the grant of yours',
  }),
  row('state-waste', 'Batteries and electronic waste by state', {
    wants: 'Whether a state of sale asks for a stewardship plan for batteries or products with batteries in them',
    of: 'maker or importer',
    proof: 'a note by state of sale: rule, date, and what was done',
    source: 'laws of the states; none for the whole country',
  }),
  CELLS,
];

const ACMA = 'https://www.acma.gov.au/Industry/Suppliers/Regulatory-arrangements/Radiocommunications-devices';

export const AU_ROWS: readonly MarketRow[] = [
  moduleRow(),
  row('antenna', 'Antenna permitted', {
    wants:
      'With its gain the unit keeps the e.i.r.p. of the class licence, and the reports that are relied on were made with it or a stronger one',
    of: 'supplier in the country',
    proof: 'data sheet of the antenna beside the test report',
    source: 'Radiocommunications (Low Interference Potential Devices) Class Licence 2015',
    doubt: 'its table was not read',
  }),
  row('supplier-registered', 'Registered as responsible supplier', {
    wants: 'An Australian maker, importer or agent is registered in the national database before the mark is used',
    of: 'importer, agent or maker in Australia',
    proof: 'confirmation of the registration',
    source: 'Radiocommunications labelling rules of the authority (ACMA)',
    where: ['https://compliancefolder.com/acma-overview/', 'http://ausrcm.com.au/html/news/73.html'],
  }),
  row('rcm', 'Compliance mark (RCM)', {
    wants:
      'The mark on the unit, legible for its life; declaration of conformity, description and, by level of risk, test reports in English, kept five years after the last sale',
    of: 'responsible supplier',
    proof: 'photo of the mark, the declaration, the reports',
    source:
      'Radiocommunications (Compliance Labelling - Devices) Notice 2014; Radiocommunications Equipment (General) Rules 2021',
    where: [
      `${ACMA}/record-keeping-radiocommunications-suppliers`,
      'https://www.productcomplianceinstitute.com/australia-acma-regulatory-compliance-scheme/',
    ],
    doubt:
      'pages name the notice of 2014 and the rules of 2021 side by side: ask which holds for a short-range device now',
  }),
  row('waste', 'Batteries and electronic waste', {
    wants: 'Whether a scheme for batteries or a ban of dumping in the state of sale asks for something',
    of: 'importer or maker',
    proof: 'a note with rule and date',
    source: 'product stewardship of the Commonwealth and the states',
  }),
  CELLS,
];

export const NZ_ROWS: readonly MarketRow[] = [
  moduleRow(),
  row('antenna', 'Antenna permitted', {
    wants: 'With its gain the unit keeps the e.i.r.p. of the general user radio licence',
    of: 'supplier in the country',
    proof: 'data sheet of the antenna beside the test report',
    source: 'General User Radio Licence for Short Range Devices',
    doubt: 'the licence itself was not read; limits as the table of limits gives them',
  }),
  row('declaration', 'Supplier’s declaration of conformity', {
    wants:
      'Signed by a supplier or agent in New Zealand; a compliance folder with description, declaration and evidence by level of conformity',
    of: 'supplier in New Zealand',
    proof: 'declaration, and the test report or the maker’s specification',
    source: 'Radiocommunications Regulations 2001, 32; Radiocommunications (Compliance) Notice 2020',
    where: [
      'https://www.rsm.govt.nz/compliance/supplier-requirements/how-to-ensure-your-products-comply/',
      'https://gazette.govt.nz/notice/id/2021-go52',
    ],
    doubt: 'a later notice of 10 July 2023 was not read; which level holds stands in the Radio Standards notice',
  }),
  row('rcm', 'Compliance mark (R-NZ or RCM)', {
    wants:
      'R-NZ for radio transmitters of level A1 to A3, RCM for levels 1 to 3: the two are not alike, since bands differ from Australia',
    of: 'supplier in New Zealand',
    proof: 'photo of the mark on a unit',
    source: 'Radiocommunications (Compliance) Notice; labelling questions of the regulator',
    where: [
      'https://www.rsm.govt.nz/compliance/supplier-requirements/new-labelling-transition-faqs/compliance-arrangements',
    ],
    doubt: 'read in questions of the change to these marks, which are some years old',
  }),
  CELLS,
];

export const JP_ROWS: readonly MarketRow[] = [
  moduleRow({
    wants:
      'The certificate by construction type of the module, with its number; antennas are named in its specification',
    source: 'Radio Act, article 38-24; Ordinance 37 of 1981',
  }),
  row('antenna', 'Antenna permitted', {
    wants: 'Model, form and gain of the antenna are those of the construction design specification of the certificate',
    of: 'maker of the unit, from the maker of the module',
    proof: 'the specification beside the data sheet of the antenna',
    source: 'Radio Act, certification by construction type: form of the construction design specification, item 4',
    where: [
      'https://docsbay.net/small-electricity-data-communications-system-application-attachment-documents-wlan-bt',
    ],
    doubt: 'read in the form of another kind of radio',
  }),
  row('technical-conformity', 'Mark of technical conformity', {
    wants: 'Mark and number to be seen on the unit; where the module is hidden, repeated on the outside',
    of: 'maker of the unit',
    proof: 'photo of mark and number on a unit',
    source: 'Radio Act, article 38-7 and following; questions of the ministry',
    seen: 'partly read',
    where: ['http://www.tele.soumu.go.jp/e/adm/monitoring/illegal/monitoring_qa/purchase/purchase.htm?print'],
    doubt: 'that every radio carries the mark was read; how a module’s mark is repeated on its host is from memory',
  }),
  row('cells-safety', 'Safety of lithium cells', {
    wants: 'Whether the cells fall under the electrical safety act (PSE mark), by their energy density',
    of: 'importer or maker in Japan',
    proof: 'mark on the cells, or the reason why not',
    source: 'Electrical Appliances and Materials Safety Act',
  }),
  CELLS,
];

export const IN_ROWS: readonly MarketRow[] = [
  moduleRow(),
  row('antenna', 'Antenna permitted', {
    wants: 'With its gain the unit keeps the radiated power of the licence-free band',
    of: 'maker or importer',
    proof: 'data sheet of the antenna beside the test report',
    source:
      'G.S.R. 853(E) of 10 December 2021, 865-868 MHz, which takes the place of the rules of 2005 for 865-867 MHz',
    seen: 'partly read',
    where: [
      'https://www.scribd.com/document/708481867/The-use-of-low-power-equipment-in-the-frequency-band-865-867-MHz',
    ],
    doubt: 'that it supersedes the rules of 2005 was read; its table of powers was not',
  }),
  row('equipment-approval', 'Equipment type approval', {
    wants:
      'Approval (ETA) of each model, by self-declaration where the product may be imported freely and keeps to a licence-free band; a report of the unit or of its radio module serves',
    of: 'maker or importer, with a representative in India',
    proof: 'the approval, and the test report of an accredited laboratory',
    source: 'Wireless Planning and Coordination wing: office memorandum of 26 February 2019 and its questions',
    where: [
      'https://www.vista-compliance.com/news/newsposts/2019/newspost190410',
      'https://www.gma.trade/single-post/india-clarifies-procedures-of-equipment-type-approval-and-self-declaration-for-some-wireless-product',
    ],
    doubt: 'read as of 2019; the portal has changed since',
  }),
  row('cells-registration', 'Registration of cells', {
    wants: 'Cells registered under the compulsory scheme, with the mark on them',
    of: 'maker of the cells, or importer',
    proof: 'number of the registration, photo of the mark',
    source: 'IS 16046 (part 2), Bureau of Indian Standards',
  }),
  row('electronic-waste', 'Registration for electronic waste', {
    wants: 'Registered as producer, where the kind of equipment is listed',
    of: 'maker or importer',
    proof: 'number of the registration, or why the kind is not listed',
    source: 'E-Waste (Management) Rules 2022',
  }),
  row('battery-register', 'Registration for batteries', {
    wants: 'Registered as producer of batteries, those in equipment included',
    of: 'maker or importer',
    proof: 'number of the registration',
    source: 'Battery Waste Management Rules 2022',
  }),
  CELLS,
];
