/**
 * Dated facts on small lithium-ion cells in transport: limits, the mark, state of charge, what must be done before a carton is
 * closed. Read on 2026-11-25 in guides that cite the rules, but for what is said to be from memory; the rules change yearly.
 *
 * Sources: 49 CFR 173.185(c) with PHMSA interpretations 16-0172 and 17-0116; UN Manual of Tests and Criteria, 38.3; IATA Dangerous
 * Goods Regulations, 67th edition (2026), packing instructions 965 to 967, as carriers and trainers tell them; ADR special
 * provision 188 as three national guides give it; the reference values of the tests (lithium-mark, lithium-limits).
 */
import type { Carton } from './types.ts';

/** Small cells and batteries, Wh. */
export const SMALL_CELL_Wh = 20;
export const SMALL_BATTERY_Wh = 100;
/** In equipment the mark is not asked for up to so many cells, or batteries of several, in a package, in up to so many packages. */
const UNMARKED = { cells: 4, batteries: 2, packages: 2 } as const;
/** Above this charge cells by air meet duties; in equipment it is recommended. */
export const AIR_CHARGE = 0.3;
/** First day of the duty for cells packed with equipment. */
const AIR_CHARGE_WITH = '2026-01-01';
/** Last day of marks of the older form. */
const OLD_MARK_UNTIL = '2026-12-31';
/** Edition of the air rules that these facts are of: one comes with each year. */
const AIR_EDITION = { year: 2026, number: 67 } as const;

/** Whether a carton may go without the mark: few cells in equipment, in few packages. */
export const maybeUnmarked = ({ packing, units, cellsPerUnit, packages }: Carton): boolean =>
  packing === 'contained' &&
  packages <= UNMARKED.packages &&
  // Cells that are wired together are one battery.
  (units * cellsPerUnit <= UNMARKED.cells || units <= UNMARKED.batteries);

export const UNMARKED_TEXT = `With at most ${UNMARKED.cells} cells, or ${UNMARKED.batteries} batteries of several cells, in equipment in a package, and at most ${UNMARKED.packages} such packages in the consignment, the mark may not be needed (SP 188; 49 CFR 173.185(c)(3)). Many carriers want it all the same.`;

/** What the mark looks like, and how long the older form still serves on a day. */
export function markFacts(unNumber: string, day: string): readonly string[] {
  return [
    `Shows the UN number: ${unNumber}.`,
    'At least 100 mm x 100 mm; 100 mm x 70 mm where the package is too small for that.',
    'Red hatching at least 5 mm wide around it; symbol and number in black on white or a contrasting ground.',
    'By air the letters UN and the number are at least 12 mm high.',
    day <= OLD_MARK_UNTIL
      ? `The older form, 120 mm x 110 mm with a telephone number, may be used until ${OLD_MARK_UNTIL}; after that day not. A parcel under way at the turn of the year wants the new one.`
      : `The older form with a telephone number is no longer to be used: its time ended on ${OLD_MARK_UNTIL}. Marks of 120 mm x 110 mm without a number: ask the carrier (sources differ).`,
    'Use a mark printed by a supplier of marks: its picture is fixed by the rules and is not drawn here.',
  ];
}

/** On the state of charge by air, for the way in which the cells travel. */
export function chargeFacts(packing: Carton['packing'], charge: number | undefined, day: string): string[] {
  const told =
    charge === undefined || charge <= AIR_CHARGE
      ? []
      : [
          packing === 'contained'
            ? `These cells are told to be at ${percent(charge)} charge: above the 30 % that air transport recommends for cells in equipment. One guide calls it a duty: ask the carrier.`
            : `These cells are told to be at ${percent(charge)} charge: above the 30 % that air transport asks for.`,
        ];
  switch (packing) {
    case 'contained':
      return told;
    case 'alone':
      return [
        'Cells alone do not fly on passenger aircraft, are charged to 30 % or less of their rated capacity by air, and go there as declared goods (sections IA and IB): the small limits do not help in the air.',
        ...told,
      ];
    case 'with equipment':
      return [
        day >= AIR_CHARGE_WITH
          ? 'Cells beside the equipment: since 2026 by air at 30 % charge or less where a cell has more than 2.7 Wh; no more cells than the equipment needs and two spares.'
          : 'Cells beside the equipment: by air 30 % charge or less is recommended, and a duty from 2026; no more cells than the equipment needs and two spares.',
        ...told,
      ];
  }
}

/** Steps before it is closed. */
export const closingFacts = (packing: Carton['packing']): readonly string[] => [
  'Each cell is of a type that has passed the tests of UN 38.3; its test summary is at hand.',
  'The energy in Wh stands on the battery’s case.',
  ...(packing === 'contained'
    ? [
        'Units are switched off and cannot start on the way; cells inside cannot short or come loose.',
        'A strong rigid outer package that fits what it holds (the drop test of 1.2 m is for cells outside equipment; from memory).',
      ]
    : [
        'Each cell lies in an inner packing that encloses it wholly; poles covered, so that none can short.',
        'The package stands a drop of 1.2 m from any side (from memory).',
        ...(packing === 'alone' ? ['It has no more than 30 kg (from memory).'] : []),
      ]),
  ...(packing === 'alone' ? [] : ['By air no more than 5 kg of cells in a package (from memory).']),
  'No cell is damaged, swollen, recalled or of unknown origin; such cells never go by air.',
  'Excepted quantities (code E) are not open to lithium cells: the small limits above are what makes it easy (from memory).',
];

/** Told where the day lies beyond the edition that the facts are of. */
export const editionNotes = (day: string): string[] =>
  Number(day.slice(0, 4)) > AIR_EDITION.year
    ? [
        `What is told here of transport by air is of the edition of ${AIR_EDITION.year} (${AIR_EDITION.number}th); a newer one holds now. Look each figure up before you rely on it.`,
      ]
    : [];

const percent = (share: number) => `${Math.round(100 * share)} %`;
