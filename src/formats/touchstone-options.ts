import { parseNumber, shorten } from './file-problems.ts';

/** What the numbers of a Touchstone file are. */
export interface TouchstoneOptions {
  /** Megahertz in one unit of the frequency column. */
  readonly unit_MHz: number;
  readonly unitName: string;
  readonly parameter: 'S' | 'Y' | 'Z';
  readonly format: 'DB' | 'MA' | 'RI';
  readonly reference_Ohm: number;
}

const UNITS: Readonly<Record<string, readonly [string, number]>> = {
  HZ: ['Hz', 1e-6],
  KHZ: ['kHz', 1e-3],
  MHZ: ['MHz', 1],
  GHZ: ['GHz', 1e3],
};

/** What the standard takes for all that an option line leaves out. */
export const DEFAULT_OPTIONS: TouchstoneOptions = {
  unit_MHz: 1e3,
  unitName: 'GHz',
  parameter: 'S',
  format: 'MA',
  reference_Ohm: 50,
};

const FORM = 'An option line reads like "# MHz S RI R 50".';

/**
 * Reads the words after `#`: a unit, a parameter, a format and `R` with its resistance, in any order, each at most once, all of
 * them optional and in any case. Tells what it cannot read through `tell` and takes the standard's value for it.
 */
export function parseOptionLine(text: string, tell: (code: string, message: string) => void): TouchstoneOptions {
  const words = text
    .trim()
    .toUpperCase()
    .split(/\s+/)
    .filter((word) => word !== '');
  let options = DEFAULT_OPTIONS;
  const seen = new Set<string>();
  const take = (kind: string, word: string, change: Partial<TouchstoneOptions>) => {
    if (seen.has(kind)) tell('options', `"${shorten(word)}" names the ${kind} a second time. ${FORM}`);
    seen.add(kind);
    options = { ...options, ...change };
  };
  for (let i = 0; i < words.length; i++) {
    const word = words[i]!;
    const unit = Object.hasOwn(UNITS, word) ? UNITS[word] : undefined;
    if (unit) take('unit', word, { unitName: unit[0], unit_MHz: unit[1] });
    else if (word === 'S' || word === 'Y' || word === 'Z') take('parameter', word, { parameter: word });
    else if (word === 'H' || word === 'G')
      tell(
        'parameter',
        `The file holds ${word} parameters: those are of two-ports. An antenna is a one-port with S, Y or Z.`,
      );
    else if (word === 'DB' || word === 'MA' || word === 'RI') take('format', word, { format: word });
    else if (word === 'R') {
      const value = words[++i];
      const reference_Ohm = value === undefined ? Number.NaN : parseNumber(value);
      if (reference_Ohm > 0 && reference_Ohm <= 1e5) take('reference', `R ${value}`, { reference_Ohm });
      else
        tell(
          'reference',
          `After R stands ${value === undefined ? 'nothing' : `"${shorten(value)}"`}: a resistance in ohms is needed, most often 50.`,
        );
    } else tell('options', `"${shorten(word)}" in the option line is no unit, parameter or format. ${FORM}`);
  }
  return options;
}
