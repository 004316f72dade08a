/** Rows of the European Union and of the United Kingdom. */
import type { MarketRow } from './market-row.ts';
import { CELLS, moduleRow, row } from './market-rows-shared.ts';

const RED = 'Directive 2014/53/EU';
const BATTERIES = 'Regulation (EU) 2023/1542';
const RED_10 = 'https://www.sorena.io/artifacts/eu/radio-equipment-directive/article-10-labelling-and-restrictions';
const MAKER_DUTIES =
  'https://incompliancemag.com/the-eu-radio-equipment-directive-what-are-a-manufacturers-obligations/';
const LABEL_DATES = 'https://www.sorena.io/artifacts/eu/batteries-regulation/faq/qr-and-label-timing';
const ARTICLE_13 =
  'https://haufe.de/recht/deutsches-anwalt-office-premium/verordnung-eu-20231542-des-europaeischen-parlaments-un-art-13-kennzeichnung-von-batterien_idesk_PI17574_HI15825445.html';
const BATTERY_DUTIES = 'https://www.conformery.com/regulations/eu-battery-reg';

export const EU_ROWS: readonly MarketRow[] = [
  moduleRow({
    wants:
      'Declaration of conformity and reports of the module, and its guide. A module’s own conformity does not make the unit conform: whoever sells the unit under his name declares the whole',
    source: `${RED}, articles 10 and 17; common practice`,
    doubt: 'how far reports of the module serve for the unit is for a test house to say',
  }),
  row('antenna', 'Antenna permitted', {
    wants:
      'With its gain the unit keeps the e.r.p. of its band; reports that are relied on were made with an antenna of the same kind and no less gain',
    of: 'maker of the unit',
    proof: 'data sheet of the antenna beside the test report',
    source: `${RED}, article 3(2); EN 300 220-2; Decision 2006/771/EC as amended`,
    doubt: 'bands and powers as the table of limits gives them, each row with how sure it is',
  }),
  row('test-reports', 'Standards and test reports', {
    wants:
      'Safety (EN 62368-1) and health (EN 62479 or EN 62311), compatibility (EN 301 489-1 and -3), spectrum (EN 300 220-2), each in an edition that the Official Journal lists, or with a reason why another serves',
    of: 'maker of the unit',
    proof: 'reports with their editions, and the analysis of risks',
    source: `${RED}, articles 3(1), 3(2), 16, 17, annex II; Implementing Decision (EU) 2022/2191`,
    seen: 'partly read',
    where: ['https://ctu.gov.cz/en/harmonised-standards', 'https://www.spilma.com/en/red/standards'],
    doubt:
      'that these standards are usual was read; which editions are listed today was not. Without a listed standard for the spectrum a notified body has its say (article 17, from memory)',
  }),
  row('declaration', 'EU declaration of conformity', {
    wants:
      'Signed by the maker, one for all directives that hold (annex VI); a copy, or the short form with the address of the whole text (annex VII), with each unit; kept ten years with the technical file',
    of: 'maker; an importer keeps a copy',
    proof: 'the signed declaration, and where the technical file lies',
    source: `${RED}, articles 10, 18, 21, annexes V to VII`,
    where: [RED_10, MAKER_DUTIES],
    doubt: 'the wording of annexes VI and VII was not read',
  }),
  row('ce-marking', 'CE marking and names', {
    wants:
      'On the unit and its packing, at least 5 mm high where it fits; type, batch or serial number; name and postal address of the maker, and of the importer where there is one',
    of: 'maker; importer for his name',
    proof: 'photos of unit and packing',
    source: `${RED}, articles 10(6), 10(7), 12(3), 19, 20`,
    seen: 'partly read',
    where: [RED_10],
    doubt: 'number and address were read; the 5 mm and the mark on the packing are from memory',
  }),
  row('instructions', 'Instructions', {
    wants:
      'In the language of the country: use and safety, each band in which it sends and the greatest power there; on the packing the countries, where a country restricts its use',
    of: 'maker; importer and seller for the language',
    proof: 'the instructions in each language of sale',
    source: `${RED}, articles 10(8) to 10(10); Implementing Regulation (EU) 2017/1354`,
    where: [RED_10],
    doubt: 'the form of the restrictions (2017/1354) is from memory',
  }),
  row('cyber-security', 'Security of radio that reaches the internet', {
    wants:
      'Whether article 3(3)(d) to (f) holds: radio that communicates over the internet, itself or through other equipment, and what handles personal, traffic or place data or money. Asked since 1 August 2025; EN 18031-1 to -3 are listed with restrictions, on passwords among others',
    of: 'maker of the unit',
    proof: 'the decision with its reasons; if it holds, the assessment by EN 18031 or of a notified body',
    source: 'Delegated Regulation (EU) 2022/30, as amended by 2023/2444; Implementing Decision (EU) 2025/138',
    where: [
      'https://compliancetestservices.com/ingress/red-2022-30-to-cra-cybersecurity-transition/',
      'https://product-compliance.pro/en/cybersecurity-for-radio-equipment/',
      'https://japan.ul.com/resources/nb%E6%A4%9C%E8%A8%BC%E3%81%AB%E3%81%A4%E3%81%84%E3%81%A6%E3%81%AE%E5%85%AC%E8%A1%A8%E4%BA%8B%E9%A0%85',
    ],
    doubt:
      'whether a repeater without the internet protocol is meant is not agreed: one guide counts radios of this modulation where they reach the internet, the text speaks of communicating over it. Ask a test house',
  }),
  row('cyber-reports', 'Reports of holes in the software', {
    wants:
      'From 11 September 2026 a hole that is used against products, or a severe incident, is reported: a first word within 24 hours, more within 72. Units sold before count too',
    of: 'maker of a product with digital elements',
    proof: 'who watches, and the account at the reporting platform',
    source: 'Regulation (EU) 2024/2847 (Cyber Resilience Act), articles 14 and 71',
    where: [
      'https://www.springlex.eu/en/packages/cra/cra-regulation/article-71/',
      'https://compliancetestservices.com/ingress/eu-cra-article-14-reporting-obligations-2026/',
    ],
    from: '2026-09-11',
    doubt: 'pages give 10 and 11 December 2024 as the day on which it came into force; the days of its duties agree',
  }),
  row('cyber-resilience', 'Cyber resilience of the unit', {
    wants:
      'From 11 December 2027: assessment of risks, updates over the time of support, papers and CE marking under this act too',
    of: 'maker of a product with digital elements',
    proof: 'the assessment and the declaration that names the act',
    source: 'Regulation (EU) 2024/2847 (Cyber Resilience Act), articles 13 and 71, annex I',
    where: [
      'https://www.springlex.eu/en/packages/cra/cra-regulation/article-71/',
      'https://cra.orcwg.org/faq/official/transition',
    ],
    from: '2027-12-11',
  }),
  row('product-safety', 'Product safety and offers at a distance', {
    wants:
      'Since 13 December 2024: an offer on the web shows maker with postal and electronic address, a picture, what names the product, and warnings in the language of the country',
    of: 'maker and seller',
    proof: 'the page of the offer, saved',
    source: 'Regulation (EU) 2023/988, articles 2, 19',
    where: [
      'https://bnt.eu/uncategorized/romania-practical-aspects-of-implementing-regulation-eu-2023-988-on-general-product-safety/',
    ],
    doubt: 'for goods under harmonised law only a part of it holds; which part is from memory',
  }),
  row('eu-operator', 'Somebody in the Union who answers', {
    wants:
      'A maker outside the Union names an importer, representative or fulfilment provider within it, on the unit or its packing',
    of: 'maker outside the Union',
    proof: 'the agreement and the label; not needed for a maker in the Union',
    source: 'Regulation (EU) 2019/1020, article 4; Regulation (EU) 2023/988, article 16',
  }),
  row('substances', 'Restricted substances', {
    wants:
      'At most 0.1 % by weight in each homogeneous material of lead, mercury, hexavalent chromium, PBB, PBDE and four phthalates, 0.01 % of cadmium; shown by declarations of the suppliers for every part',
    of: 'maker of the unit',
    proof: 'declarations by part, in the technical file (EN IEC 63000)',
    source: 'Directive 2011/65/EU, articles 4 and 7, annex II, as amended by (EU) 2015/863',
  }),
  row('battery-conformity', 'Conformity of the cells', {
    wants: 'Cells with CE marking and declaration of their maker, put on the market from 18 August 2024 on',
    of: 'maker of the cells; who wires a battery of them may become its maker',
    proof: 'declaration of the cells, photo of the mark',
    source: `${BATTERIES}, articles 15 to 20, 38, 96`,
    where: ['https://fmr-square.de/en/the-new-eu-battery-regulation-eu-2023-1542-2', BATTERY_DUTIES],
    doubt: 'whether wiring cells in a unit makes a new battery is for the authority to say',
  }),
  row('battery-bin', 'Crossed-out bin on the battery', {
    wants:
      'Since 18 August 2025: the mark of separate collection on 3 % of the largest side, 1.5 % of the surface of a cylindrical cell, at most 5 cm x 5 cm; below 0.47 cm x 0.47 cm it goes on the packing, at least 1 cm x 1 cm',
    of: 'maker of the battery',
    proof: 'photo of cell or packing',
    source: `${BATTERIES}, article 13(4), annex VI part B`,
    where: [ARTICLE_13],
  }),
  row('battery-label', 'Label with capacity', {
    wants:
      'General facts and, on rechargeable portable batteries, the capacity: from 18 August 2026, or 18 months after the Commission’s act on labels is in force, whichever is later',
    of: 'maker of the battery',
    proof: 'photo of the label; or not needed, with the day on which the act was looked up',
    source: `${BATTERIES}, articles 13(1), 13(2), 13(10), annex VI part A`,
    where: [
      ARTICLE_13,
      'https://www.eurobat.org/resource/eurobat-feedback-to-laying-down-rules-for-the-application-of-regulation-eu-2023-1542/',
    ],
    doubt:
      'in February 2026 the act was still a draft, so that the day lies after August 2027; whether it is in force was not found',
  }),
  row('battery-code', 'Code on the battery', {
    wants: 'From 18 February 2027 a QR code on the battery, its packing or papers leads to what annex VI part C names',
    of: 'maker of the battery',
    proof: 'photo of the code, and where it leads',
    source: `${BATTERIES}, article 13(6), annex VI part C`,
    where: [LABEL_DATES],
    from: '2027-02-18',
    doubt: 'makers have asked for a later day together with the label; the battery passport is for larger kinds',
  }),
  row('battery-removable', 'Battery that can be taken out', {
    wants:
      'From 18 February 2027 whoever uses the unit can take a portable battery out and put another in with tools that are sold freely, without heat or solvent; instructions for it, spare batteries for five years',
    of: 'maker of the unit',
    proof: 'the page of the instructions; cells in holders or on plugs',
    source: `${BATTERIES}, article 11`,
    where: [
      BATTERY_DUTIES,
      'https://ibf-solutions.com/en/seminars-and-news/news/current-developments-for-the-battery-regulation',
    ],
    from: '2027-02-18',
    doubt:
      'appliances for wet places are partly excepted; whether a housing in the rain is one is to be asked. The five years are from memory',
  }),
  row('battery-register', 'Registration for batteries', {
    wants:
      'Registered as producer of batteries, those in equipment included, in each country of sale before the first sale; fees, reports, take-back',
    of: 'whoever first sells in the country; from another country through a representative there',
    proof: 'number of the registration by country',
    source: `${BATTERIES}, articles 54 to 57`,
    where: [BATTERY_DUTIES],
    doubt: 'that it holds since 18 August 2025 is from memory',
  }),
  row('electronic-waste', 'Registration for electronic waste', {
    wants:
      'Registered as producer in each country of sale before the first sale; who sells at a distance names a representative there; the crossed-out bin on the unit',
    of: 'whoever first sells in the country',
    proof: 'number of the registration by country, photo of the mark',
    source: 'Directive 2012/19/EU, articles 14, 16, 17; mark by EN 50419',
    where: [
      'https://gestionderesiduosonline.com/?p=3572',
      'https://impel.eu/en/topics/waste-and-tfs/weee/projects/weee-article-17-free-riders-project/related-files',
    ],
    doubt: 'registers, fees and small numbers differ by country; the mark is from memory',
  }),
  row('packaging', 'Packaging', {
    wants:
      'Registered for packaging in each country of sale; from 12 August 2026 name, address and a type or batch number on the packing, and a declaration of its conformity',
    of: 'whoever packs the product or first sells it in the country',
    proof: 'numbers of the registrations, declaration, photo of the packing',
    source: 'Regulation (EU) 2025/40, articles 15, 18, 39, 44',
    seen: 'partly read',
    where: [
      'https://asekol.sk/en/novinky/new-obligations-for-packaging-producers-from-12-august-2026',
      'https://pcm.one/eus-new-packaging-regulation-what-you-need-to-know-about-extended-producer-responsibility/',
    ],
    doubt:
      'when the registers of this regulation open differs between sources; until then those of the countries hold (from memory)',
  }),
  CELLS,
];

export const UK_ROWS: readonly MarketRow[] = [
  moduleRow(),
  row('antenna', 'Antenna permitted', {
    wants:
      'With its gain the unit keeps the e.r.p. of its band; reports that are relied on were made with an antenna of the same kind and no less gain',
    of: 'maker of the unit',
    proof: 'data sheet of the antenna beside the test report',
    source: 'Radio Equipment Regulations 2017, regulation 6(2); interface requirement IR 2030',
    doubt: 'IR 2030 was not read',
  }),
  row('declaration', 'Declaration of conformity', {
    wants:
      'Signed by the maker, with designated standards (those of the Union where CE is used); kept ten years with the technical file',
    of: 'maker; an importer keeps a copy',
    proof: 'the signed declaration',
    source: 'Radio Equipment Regulations 2017 (SI 2017/1206), regulations 9 to 11, 42, 45',
    where: [
      'http://www.legislation.gov.uk/uksi/2017/1206/part/2/chapter/2/made/data.xht?view=snippet&wrap=true',
      'https://legislation.gov.uk/uksi/2017/1206/body/2024-04-07/data.html',
    ],
    doubt: 'the ten years are from memory',
  }),
  row('ukca-marking', 'UKCA or CE marking', {
    wants:
      'Either on the unit for Great Britain: recognition of CE goes on without an end since 1 October 2024; CE for Northern Ireland. Name and address of maker, and of the importer into Great Britain',
    of: 'maker; importer for his name',
    proof: 'photo of the mark',
    source: 'Product Safety and Metrology etc. (Amendment) Regulations 2024 (SI 2024/696)',
    seen: 'partly read',
    where: [
      'https://gov.uk/government/publications/electromagnetic-compatibility-regulations-2016/electromagnetic-compatibility-regulations-2016-great-britain',
    ],
    doubt:
      'read in the guidance on electromagnetic compatibility; that radio equipment is among the regulations, and the number of the instrument, are from memory',
  }),
  row('instructions', 'Instructions', {
    wants:
      'In English: use and safety, bands and greatest power; on the packing, where use is restricted or needs a licence',
    of: 'maker; importer',
    proof: 'the instructions',
    source: 'Radio Equipment Regulations 2017, regulations 13 and 14',
    where: [
      'https://gov.uk/government/publications/radio-equipment-regulations-2017/radio-equipment-regulations-2017-regulation-14',
    ],
    doubt: 'regulation 13 is from memory',
  }),
  row('product-security', 'Security of connectable products', {
    wants:
      'Whether the unit is a relevant connectable product for consumers; if so no common passwords, a way to report holes, the time of updates told, and a statement of compliance with it. In force since 29 April 2024',
    of: 'maker; importer and seller look that it is there',
    proof: 'the statement of compliance, or the reasons why it is not needed',
    source: 'Product Security and Telecommunications Infrastructure Act 2022; SI 2023/1007',
    where: [
      'https://gov.uk/guidance/regulations-consumer-connectable-product-security',
      'https://www.mishcon.com/news/a-new-regime-for-connectable-products-from-april-2024',
    ],
    doubt:
      'it also names products that reach a network without the internet, under conditions of section 5 that were not read',
  }),
  row('substances', 'Restricted substances', {
    wants: 'Declarations of the suppliers for every part; limits as in the Union',
    of: 'maker of the unit',
    proof: 'declarations by part, in the technical file',
    source: 'SI 2012/3032',
  }),
  row('electronic-waste', 'Registration for electronic waste', {
    wants:
      'Registered as producer: directly with the agency below 5 tonnes a year, else through a scheme; the crossed-out bin on the unit',
    of: 'whoever first sells in the country',
    proof: 'number of the registration',
    source: 'SI 2013/3113',
    seen: 'partly read',
    where: ['http://www.b2bweee.com/requirements/uk'],
    doubt: 'that there is a register and schemes was read; the 5 tonnes are from memory',
  }),
  row('battery-register', 'Registration for batteries', {
    wants:
      'Registered with the agency within 28 days of the first sale, those in equipment included: directly up to 1 tonne a year, else through a scheme',
    of: 'whoever first sells in the country, with a business there',
    proof: 'number of the registration',
    source: 'SI 2009/890',
    where: [
      'http://www.nibusinessinfo.co.uk/content/portable-battery-producer-responsibilities',
      'http://comply.clarity.eu.com/batteries/regulations.html',
    ],
  }),
  CELLS,
];
