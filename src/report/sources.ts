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
