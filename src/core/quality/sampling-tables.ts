/** How strictly a run of lots is looked at. */
export type Severity = 'normal' | 'tightened' | 'reduced';
/** Inspection levels: I, II (usual), III, and the special ones for small samples. */
export type InspectionLevel = 'S-1' | 'S-2' | 'S-3' | 'S-4' | 'I' | 'II' | 'III';

export const INSPECTION_LEVELS: readonly InspectionLevel[] = ['S-1', 'S-2', 'S-3', 'S-4', 'I', 'II', 'III'];

/** Acceptance quality limits of the tables: % nonconforming up to 10, above that nonconformities per 100 units. */
export const AQL_pct: readonly number[] = [
  0.01, 0.015, 0.025, 0.04, 0.065, 0.1, 0.15, 0.25, 0.4, 0.65, 1, 1.5, 2.5, 4, 6.5, 10, 15, 25, 40, 65, 100, 150, 250,
  400, 650, 1000,
];

/** The letters: no I and no O; S stands only in the tightened table. */
export const CODE_LETTERS = 'ABCDEFGHJKLMNPQRS';

/** Largest lot of each row of the table of letters, and the letters in the order of `INSPECTION_LEVELS`. */
const LOT_ROWS: readonly (readonly [number, string])[] = [
  [8, 'AAAAAAB'],
  [15, 'AAAAABC'],
  [25, 'AABBBCD'],
  [50, 'ABBCCDE'],
  [90, 'BBCCCEF'],
  [150, 'BBCDDFG'],
  [280, 'BCDEEGH'],
  [500, 'BCDEFHJ'],
  [1200, 'CCEFGJK'],
  [3200, 'CDEGHKL'],
  [10_000, 'CDFGJLM'],
  [35_000, 'CDFHKMN'],
  [150_000, 'DEGJLNP'],
  [500_000, 'DEGJMPQ'],
  [Number.POSITIVE_INFINITY, 'DEHKNQR'],
];

/**
 * Code letter for a lot (2 units or more) at an inspection level.
 *
 * Source: ISO 2859-1:1999 table 1, the same as MIL-STD-105E table I. Checked in every cell.
 */
export function codeLetter(lot: number, level: InspectionLevel): string {
  const column = INSPECTION_LEVELS.indexOf(level);
  const row = LOT_ROWS.find(([largest]) => lot <= largest);
  if (row === undefined || column < 0) throw new RangeError(`codeLetter: lot ${lot}, level ${level}`);
  return row[1][column]!;
}

const NORMAL_SIZES = [2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000, 3150];
const REDUCED_SIZES = [2, 2, 2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800];

/** Sample size of a letter. */
export function letterSize(letter: number, severity: Severity): number {
  return severity === 'reduced' ? REDUCED_SIZES[letter]! : NORMAL_SIZES[letter]!;
}

/** Letters that a table has: the tightened one alone goes on to S. */
export function letterCount(severity: Severity): number {
  return severity === 'tightened' ? 17 : 16;
}

/** A cell of a table: the accept and the reject number, or the direction in which the next plan stands. */
export type Cell = readonly [accept: number, reject: number] | 'up' | 'down';

/**
 * The tables repeat along their diagonals: sample sizes and limits grow by the same ratio. What a cell holds depends
 * only on letter + column, counted from the diagonal with accept number 0. The last two entries stand only at letters A
 * to E (limits of 150 and more per 100 units), where the sequence goes on.
 */
// biome-ignore format: one diagonal a line
const DIAGONALS: Record<Severity, readonly Cell[]> = {
  normal: [
    [0, 1], 'up', 'down', [1, 2], [2, 3], [3, 4], [5, 6], [7, 8], [10, 11], [14, 15], [21, 22], [30, 31], [44, 45],
  ],
  tightened: [
    [0, 1], 'down', 'down', [1, 2], [2, 3], [3, 4], [5, 6], [8, 9], [12, 13], [18, 19], [27, 28], [41, 42],
  ],
  reduced: [
    [0, 1], 'up', 'down', [0, 2], [1, 3], [1, 4], [2, 5], [3, 6], [5, 8], [7, 10], [10, 13], [14, 17], [21, 24],
  ],
};
const FIRST_DIAGONAL: Record<Severity, number> = { normal: 14, tightened: 15, reduced: 14 };
/** Index of letter E: beyond it a column ends two entries sooner. */
const LETTER_E = 4;

/** Reduced inspection at A and B, where the sample cannot shrink below two: columns 25 (A) and 15 (B) onwards. */
// biome-ignore format: one row a line
const REDUCED_A: readonly Cell[] = [[1, 2], [2, 3], [3, 4], [5, 6], [7, 8], [10, 11], [14, 15], [21, 22], [30, 31]];
// biome-ignore format: one row a line
const REDUCED_B: readonly Cell[] = [[0, 2], [1, 3], [2, 4], [3, 5], [5, 6], [7, 8], [10, 11], [14, 15], [21, 22], [30, 31]];

/**
 * Cell of the master table for single sampling, with its arrow not yet followed.
 *
 * Source: MIL-STD-105E tables II-A, II-B, II-C (ANSI/ASQ Z1.4; normal and tightened as ISO 2859-1:1999 tables 2-A,
 * 2-B). ISO's reduced table of 1999 has reject = accept + 1 and other numbers: it is not held here, for want of a
 * source. Checked in all 1,248 cells.
 *
 * @param letter index in `CODE_LETTERS`
 * @param column index in `AQL_pct`
 */
export function tableCell(severity: Severity, letter: number, column: number): Cell {
  const diagonal = letter + column - FIRST_DIAGONAL[severity];
  if (diagonal < 0) return 'down';
  if (severity === 'reduced' && letter === 0 && column >= 17) return REDUCED_A[column - 17]!;
  if (severity === 'reduced' && letter === 1 && column >= 16) return REDUCED_B[column - 16]!;
  // At A nothing stands above; and in the tightened table no plan of two units accepts none.
  if (letter === 0 && diagonal === (severity === 'tightened' ? 0 : 1)) return 'down';
  const cells = DIAGONALS[severity];
  if (diagonal >= cells.length - (letter > LETTER_E ? 2 : 0)) return 'up';
  const cell = cells[diagonal]!;
  // An arrow down needs a letter that holds accept number 1, three on from the one with 0; at the foot of a column it
  // turns.
  return cell === 'down' && letter + 3 - diagonal >= letterCount(severity) ? 'up' : cell;
}
