/** Facts for the marks on a carton with lithium-ion cells. The rules change yearly: the paper says where to look. */

import { type Problem, UserError } from '../core/units/index.ts';
import { closeBenchPaper, facts, heading, list, openBenchPaper, prose } from './bench-blocks.ts';
import {
  chargeFacts,
  closingFacts,
  editionNotes,
  markFacts,
  maybeUnmarked,
  SMALL_BATTERY_Wh,
  SMALL_CELL_Wh,
  UNMARKED_TEXT,
} from './lithium.ts';
import type { Carton, PaperSetting } from './types.ts';

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
  if (small && maybeUnmarked(c)) notes.push(UNMARKED_TEXT);
  notes.push(...chargeFacts(c.packing, c.stateOfCharge, c.day), ...editionNotes(c.day));
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
  const { kit, units, cellsPerUnit, packages, packing, stateOfCharge, day } = carton;
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
        ['rules as of', day],
        ['state of charge', stateOfCharge === undefined ? 'not told' : `${Math.round(100 * stateOfCharge)} %`],
      ],
      width,
    ),
  );
  if (found.notes.length > 0)
    flow.place([heading(paper, 'For this carton', width), ...list(paper, found.notes, narrow, 'bar')]);
  flow.place([
    heading(paper, 'The lithium battery mark', width),
    ...list(paper, markFacts(found.unNumber, carton.day), narrow, 'dash'),
    heading(paper, 'Before it is closed', width),
    ...list(paper, closingFacts(packing), narrow, 'dash'),
    prose(
      paper,
      'Sources: 49 CFR 173.185(c) with interpretations 16-0172 and 17-0116; IATA Dangerous Goods Regulations, 67th edition, packing instructions 965 to 967, as guides tell them; ADR and IMDG special provision 188. Read on 2026-11-25, in part from memory as marked, and no advice: the edition in force and your carrier decide.',
      narrow,
      { size: 8, gap: 10 },
    ),
  ]);
  return closeBenchPaper(made);
}
