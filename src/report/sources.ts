/** How a year is computed, in steps, each with its published source. */

export interface Step {
  readonly what: string;
  readonly source: string;
}

export const YEAR_STEPS: readonly Step[] = [
  { what: 'Place of the sun at the middle of each hour', source: 'Reda & Andreas 2004, NREL/TP-560-34302' },
  {
    what: 'Synthetic days: clearness with its persistence and distribution, then hours',
    source: 'Aguiar, Collares-Pereira & Conde 1988, Solar Energy 40; Aguiar & Collares-Pereira 1992, Solar Energy 49',
  },
  { what: 'Beam and diffuse light', source: 'Erbs, Klein & Duffie 1982, Solar Energy 28' },
  { what: 'Light on the tilted panel', source: 'Perez et al. 1990, Solar Energy 44' },
  {
    what: 'Panel: one diode with its series and shunt resistance',
    source: 'De Soto, Klein & Beckman 2006, Solar Energy 80',
  },
  { what: 'Temperature of the panel', source: 'Faiman 2008, Progress in Photovoltaics 16' },
  { what: 'Snow and dirt on the panel', source: 'Marion et al. 2013, Solar Energy 97; Kimber et al. 2006, IEEE WCPEC' },
  { what: 'Ageing of the cells', source: 'Schmalstieg et al. 2014, Journal of Power Sources 257' },
  {
    what: 'Intervals: exact for shares of years, bootstrap over whole years for hours; no event gives an upper bound',
    source: 'Clopper & Pearson 1934, Biometrika 26; Efron 1979, Annals of Statistics 7',
  },
];

/** What the hourly balance does, in two sentences. */
export const BALANCE_TEXT =
  'Hour by hour, the charger’s harvest less the load goes into or out of the cells; charging stops at the ceiling and in the cold, the load stops at the cut-off and comes back at the reconnect. Years run from sunniest month to sunniest month with the state carried over.';

export const PALETTE_TEXT =
  'Colours: viridis (van der Walt & Smith 2015), turned round so that dark means dark, on the square root of the chance; cividis (Nuñez, Anderton & Renslow 2018) for the state of charge.';

/** How a reach is computed, in steps. */
export const REACH_STEPS: readonly Step[] = [
  { what: 'Loss in free space', source: 'ITU-R P.525-4' },
  { what: 'Diffraction over the ground: delta-Bullington, the curve of the Earth counted', source: 'ITU-R P.526-15' },
  {
    what: 'Clear sight: 60 % of the first Fresnel zone free',
    source: 'ITU-R P.530 (common practice)',
  },
  { what: 'Man-made noise at the receivers', source: 'ITU-R P.372 (constants as coded in public programs)' },
  {
    what: 'Signal-to-noise ratio that each spreading factor needs',
    source: 'SX1276 data sheet; SF5 and SF6 from memory',
  },
  { what: 'Lobe of an upright stick antenna', source: 'ITU-R F.1336 (from memory, not validated)' },
  {
    what: 'Odds: the error of a computed loss taken as normal, 6 dB in sight and 10 dB over edges',
    source: 'judgement from published comparisons with measurement',
  },
  { what: 'Place of the sun over the skyline', source: 'Reda & Andreas 2004, NREL/TP-560-34302' },
  {
    what: 'Role: leaf, relay or backbone, by clear sight that others lack',
    source: 'common practice; bounds are judgement',
  },
  {
    what: 'Legal limits: rule texts with the day they were read, each marked confirmed, partly or from memory',
    source: 'cited in the section on limits where a region was named',
  },
  { what: 'Colours of the margin: cividis', source: 'Nuñez, Anderton & Renslow 2018, PLOS ONE 13(7)' },
];

export const REACH_TEXT =
  'Along straight ways from the perch over the terrain’s own cells, loss in free space and diffraction are taken from the largest loss that the weaker way bears; what is left is the margin. Named places have profiles of their own. Half of the time and of the places do better than told, half worse; odds count the spread.';
