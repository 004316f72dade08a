/** Facts for the marks on a carton with lithium-ion cells. The rules change yearly: the paper says where to look. */

import { type Problem, UserError } from '../core/units/index.ts';
import { closeBenchPaper, facts, heading, list, openBenchPaper, prose } from './bench-blocks.ts';
import type { Carton, PaperSetting } from './types.ts';

/** Small cells and batteries, Wh (49 CFR 173.185(c); UN Manual of Tests and Criteria, 38.3). */
const SMALL_CELL_Wh = 20;
const SMALL_BATTERY_Wh = 100;
/** Up to so many cells in equipment, in so many packages, a mark may not be needed (SP 188; from memory). */
const UNMARKED_CELLS = 4;
const UNMARKED_PACKAGES = 2;
/** Charge above which cells by air meet duties (PI 965 since 2016, PI 966 from 2026). */
const AIR_CHARGE = 0.3;

export interface CartonFacts {
  readonly cell_Wh: number;
  /** All cells of a unit count as one battery: a pack wired in parallel is one. */
  readonly battery_Wh: number;
  readonly unNumber: 'UN3480' | 'UN3481';
  readonly small: boolean;
  readonly notes: readonly string[];
}

/** Energy, UN number and what follows from them. Throws UserError on counts and figures that cannot be. */
export function cartonFacts(c: Carton): CartonFacts {
  const problems: Problem[] = [];
  const need = (field: keyof Carton, whole: boolean) => {
    const value = c[field] as number;
    if (!(value > 0) || !Number.isFinite(value) || (whole && !Number.isInteger(value)))
      problems.push({
        code: 'carton',
        message: `${field} is ${value}: ${whole ? 'a whole number from 1' : 'a number above 0'} is wanted`,
        place: { field },
      });
  };
  need('units', true);
  need('cellsPerUnit', true);
  need('packages', true);
  need('nominal_V', false);
  need('capacity_mAh', false);
  if (c.stateOfCharge !== undefined && !(c.stateOfCharge >= 0 && c.stateOfCharge <= 1))
    problems.push({
      code: 'carton',
      message: `stateOfCharge is ${c.stateOfCharge}: a share between 0 and 1 is wanted`,
      place: { field: 'stateOfCharge' },
    });
  if (problems.length > 0) throw new UserError(problems);
  const cell_Wh = (c.nominal_V * c.capacity_mAh) / 1000;
  const battery_Wh = cell_Wh * c.cellsPerUnit;
  const small = cell_Wh <= SMALL_CELL_Wh && battery_Wh <= SMALL_BATTERY_Wh;
  const notes: string[] = [];
  if (!small)
    notes.push(
      `Over the small limits (${SMALL_CELL_Wh} Wh a cell, ${SMALL_BATTERY_Wh} Wh a battery): this is fully regulated class 9 goods. Papers, packaging and training differ from what is told here; ask the carrier before packing.`,
    );
  const cells = c.units * c.cellsPerUnit;
  if (small && c.packing === 'contained' && cells <= UNMARKED_CELLS && c.packages <= UNMARKED_PACKAGES)
    notes.push(
      `With at most ${UNMARKED_CELLS} cells in equipment and at most ${UNMARKED_PACKAGES} such packages in the consignment the mark may not be needed (from memory: SP 188).`,
    );
  if (c.packing === 'alone')
    notes.push(
      'Cells alone do not fly on passenger aircraft, and by air are charged to 30 % or less of their rated capacity.',
    );
  if (c.packing === 'with equipment')
    notes.push(
      'Cells beside the equipment: from 2026 by air at 30 % charge or less where a cell has more than 2.7 Wh; no more cells than the equipment needs and two spares.',
    );
  if (c.stateOfCharge !== undefined && c.stateOfCharge > AIR_CHARGE)
    notes.push(
      `These cells are told to be at ${Math.round(100 * c.stateOfCharge)} % charge: above the 30 % that air transport asks for or recommends.`,
    );
  return { cell_Wh, battery_Wh, unNumber: c.packing === 'alone' ? 'UN3480' : 'UN3481', small, notes };
}

const CHECK =
  'Check the carrier’s current rules, and those of the countries on the way, before each consignment: they change every year.';
const PACKING = {
  contained: 'contained in equipment',
  'with equipment': 'packed with equipment',
  alone: 'alone',
} as const;

export async function cartonPdf(carton: Carton, setting: PaperSetting): Promise<Uint8Array> {
  const found = cartonFacts(carton);
  const { kit, units, cellsPerUnit, packages, packing, stateOfCharge } = carton;
  const wh = (value: number) => `${Math.round(value * 100) / 100} Wh`;
  const made = openBenchPaper(setting, {
    kind: 'Carton marks',
    thing: `${units} x ${kit}`,
    title: `${found.unNumber}: lithium-ion batteries ${PACKING[packing]}, ${found.small ? 'within' : 'over'} the small limits.`,
  });
  const { paper, flow, width } = made;
  const narrow = Math.min(width, 470);
  flow.place([prose(paper, CHECK, narrow, { size: 10.5, gap: 8 })]);
  flow.place(
    facts(
      paper,
      [
        ['from', [carton.maker, ...carton.address].join(', ')],
        ['in this carton', `${units} x ${kit}, ${units * cellsPerUnit} cells`],
        ['packages in the consignment', String(packages)],
        [
          'each cell',
          `${carton.nominal_V} V x ${carton.capacity_mAh / 1000} Ah = ${wh(found.cell_Wh)} (limit of small cells ${SMALL_CELL_Wh} Wh)`,
        ],
        [
          'each unit’s battery',
          `${cellsPerUnit} cells, ${wh(found.battery_Wh)} (limit of small batteries ${SMALL_BATTERY_Wh} Wh)`,
        ],
        ['all cells', wh(found.battery_Wh * units)],
        ['state of charge', stateOfCharge === undefined ? 'not told' : `${Math.round(100 * stateOfCharge)} %`],
      ],
      width,
    ),
  );
  if (found.notes.length > 0)
    flow.place([heading(paper, 'For this carton', width), ...list(paper, found.notes, narrow, 'bar')]);
  flow.place([
    heading(paper, 'The lithium battery mark', width),
    ...list(
      paper,
      [
        `Shows the UN number: ${found.unNumber}.`,
        'At least 100 mm x 100 mm; 100 mm x 70 mm where the package is too small for that.',
        'Red hatching at least 5 mm wide around it; symbol and number in black on white or a contrasting ground.',
        'By air the letters UN and the number are at least 12 mm high.',
        'The older form, 120 mm x 110 mm with a telephone number, may be used until 2026-12-31.',
        'Use a mark printed by a supplier of marks: its picture is fixed by the rules and is not drawn here.',
      ],
      narrow,
      'dash',
    ),
    heading(paper, 'Before it is closed', width),
    ...list(
      paper,
      [
        'Each cell is of a type that has passed the tests of UN 38.3; its test summary is at hand.',
        'The energy in Wh stands on the battery’s case.',
        'Cells cannot short: poles covered, units switched off and unable to start on the way.',
        'No cell is damaged, swollen, recalled or of unknown origin; such cells never go by air.',
        'The package stands a drop of 1.2 m, and has no more than 30 kg.',
      ],
      narrow,
      'dash',
    ),
    prose(
      paper,
      'Sources: 49 CFR 173.185(c)(3); IATA Dangerous Goods Regulations 7.1.5.5 and packing instructions 965 to 967; ADR and IMDG special provision 188. Partly from memory, and not advice: the edition in force decides.',
      narrow,
      { size: 8, gap: 10 },
    ),
  ]);
  return closeBenchPaper(made);
}
