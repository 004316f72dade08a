/** The card that goes with a unit: its parts, first start, mounting, charging, cautions and the radio limits of the customer's region. */

import { userError } from '../core/units/index.ts';
import { closeBenchPaper, heading, list, openBenchPaper, prose } from './bench-blocks.ts';
import { type Block, beside, stacked, stackHeight } from './flow.ts';
import { DRAWING, drawNode, partNames } from './node-drawing.ts';
import type { Paper } from './paper.ts';
import type { PaperSetting, QuickStart } from './types.ts';

const GUTTER = 22;
/** The largest of these with which the card stays one page; the last where none does. */
const SIZES = [8.6, 8.2, 7.8] as const;

const firstStart = ({ cellsApart, cells }: QuickStart): string[] => [
  'Look it over: nothing dented, loose or wet.',
  'Screw the antenna on by hand until it is tight. A radio that sends without one can be damaged.',
  ...(cellsApart
    ? [
        cells.count > 1
          ? 'Put the cells in as marked, all of one lot and within 0.05 V of each other; a cell the wrong way round can burn.'
          : 'Put the cell in as marked; the wrong way round it can burn.',
      ]
    : []),
  'Switch it on indoors, and see on another node that it is heard, before it goes up.',
  'Close the lid; the seal lies flat all the way round and is free of hairs and grit.',
  'Let it stand in the sun for a day and look whether it charges.',
];

const mounting = ({ panelFaces, tilt_deg, radio }: QuickStart): string[] => [
  'Antenna upright and free: no metal beside it nearer than about a wavelength ' +
    `(${Math.round(30_000 / radio.frequency_MHz)} cm), higher than what stands around.`,
  `Panel to the ${panelFaces}, tilted ${Math.round(tilt_deg)}° from level; no shade on it at noon in midwinter.`,
  'Vent and glands downward; the cable hangs in a loop below its gland.',
  'Two clamps, tightened to what the plan of the kit says; a shake moves the pole, not the box.',
];

/** Stand below the mounting, where the hand is then. */
const HEIGHT = [
  'First avoid the climb, then prevent the fall, then arrest it. Not alone, not in wind, ice or thunder; tools and box tethered.',
  'Keep one and a half times the length of mast and antenna away from overhead lines, and take each line for live.',
  'A mast is bonded to earth by those who may do so; no earthing makes a direct strike survivable.',
];

/** What the charger does in the cold; a caution where it goes on charging. */
const COLD = [
  'Its charger does not stop in the cold. Charging below 0 °C harms the cells: capacity is lost for good, and a cell may fail inside later. Ask the maker before it stands where it freezes.',
];
const charging = ({ cells, panel_W, chargeStops_degC, panelFeeds }: QuickStart): string[] => [
  `The ${Math.round(panel_W * 100) / 100} W panel charges it by itself${
    chargeStops_degC === null
      ? '.'
      : `; below ${chargeStops_degC} °C it ${panelFeeds ? 'feeds the radio and ' : ''}does not charge the cells.`
  }`,
  'Before the first winter the cells want to be full: put it up before the days get short, or charge it indoors.',
  'Stored: at about half charge, cool and dry; looked at twice a year.',
  `Cells of the same kind only: ${cells.count} x ${cells.nominal_V} V, ${cells.capacity_mAh} mAh.`,
];

const CELLS = [
  'Never use cells that are dented, swollen, wet, torn or of unknown origin, and never mix old and new.',
  'Do not open, pierce, crush, short or solder them; not above 60 °C, not into fire.',
  'A cell that hisses, smells or grows hot: away from people, outdoors, water is for cooling what is near it. Then the fire brigade.',
  'Dead cells go to a collection point, poles covered; not into the waste.',
];

/** Throws UserError on a frequency, a count or a tilt that cannot be. */
export async function quickStartPdf(card: QuickStart, setting: PaperSetting): Promise<Uint8Array> {
  const { radio, cells, kit, revision } = card;
  if (!(radio.frequency_MHz > 1))
    throw userError('card', `frequency_MHz is ${radio.frequency_MHz}: a number above 1 is wanted`, {
      field: 'frequency_MHz',
    });
  if (!Number.isInteger(cells.count) || cells.count < 1)
    throw userError('card', `count of cells is ${cells.count}: a whole number from 1 is wanted`, {
      field: 'cells.count',
    });
  if (!(card.tilt_deg >= 0 && card.tilt_deg <= 90))
    throw userError('card', `tilt_deg is ${card.tilt_deg}: a tilt lies between 0 and 90`, { field: 'tilt_deg' });
  const made = openBenchPaper(setting, {
    kind: 'Quick start',
    thing: `${kit}, ${revision}`,
    title: `${kit}: antenna first, then the cells, then up into the sun.`,
  });
  const { paper, flow, width } = made;
  const fits = (make: () => Block[]) => stackHeight(make()) <= flow.room - GUTTER;
  const all = SIZES.map((size) => () => cardBlocks(paper, card, width, size));
  // Rules that find no room in the smallest type give way from the last one on, which is told.
  const fewer = Array.from({ length: Math.max(radio.limits.length - 1, 0) }, (_, i) => () => {
    const limits = radio.limits.slice(0, radio.limits.length - 1 - i);
    const left = radio.limits.length - limits.length;
    const told = `${left} more ${left === 1 ? 'rule' : 'rules'} of ${radio.region} ${left === 1 ? 'has' : 'have'} no room here: sunperch limits tells them all.`;
    return cardBlocks(paper, { ...card, radio: { ...radio, limits: [...limits, told] } }, width, SIZES.at(-1)!);
  });
  flow.place(([...all, ...fewer].find(fits) ?? all.at(-1)!)());
  return closeBenchPaper(made);
}

/** All parts in type of one size. */
function cardBlocks(paper: Paper, card: QuickStart, width: number, size: number): Block[] {
  const { radio } = card;
  const column = (width - GUTTER) / 2;
  const part = (title: string, items: readonly string[], kind: 'number' | 'dash' | 'bar', wide = column): Block =>
    stacked([heading(paper, title, wide, 0), ...list(paper, items, wide, kind, size)], { gap: 14 });
  const two = (left: Block, right: Block) => beside(left, right, column + GUTTER, { gap: 14 });
  return [
    two(
      drawing(paper, card, column),
      stacked([part('Its parts', partsOf(card), 'number'), part('First start', firstStart(card), 'number')]),
    ),
    two(
      stacked([part('Mounting', mounting(card), 'dash'), ...list(paper, HEIGHT, column, 'bar', size)]),
      stacked([
        part('Charging', charging(card), 'dash'),
        ...(card.chargeStops_degC === null ? list(paper, COLD, column, 'bar', size) : []),
        part('Lithium cells', CELLS, 'bar'),
      ]),
    ),
    heading(paper, `Radio limits, ${radio.region}`, width, 14),
    prose(
      paper,
      `This unit: ${radio.setting}, ${radio.frequency_MHz} MHz, ${radio.power_dBm} dBm at the connector, antenna ${radio.antennaGain_dBi} dBi. Another antenna or setting needs another look at the limits.`,
      width,
      { size },
    ),
    ...list(paper, radio.limits, width, 'bar', size),
    prose(
      paper,
      `Rules as read on ${radio.read}, partly from memory; rules change, and local law decides. ${card.contact === '' ? '' : `Help: ${card.contact}. `}Made by ${card.maker}.`,
      width,
      { size, gap: 8 },
    ),
  ];
}

const partsOf = (card: QuickStart) =>
  partNames({ cells: card.cells.count, tilt_deg: card.tilt_deg, panelFaces: card.panelFaces });

function drawing(paper: Paper, card: QuickStart, column: number): Block {
  const node = { cells: card.cells.count, tilt_deg: card.tilt_deg, panelFaces: card.panelFaces };
  const alt = `The node on a pole, from the side: ${partsOf(card)
    .map((p, i) => `${i + 1} ${p}`)
    .join('; ')}. The cable hangs in a loop below its gland.`;
  return {
    height: DRAWING.height,
    draw: (x, y) => paper.tagged('Figure', () => drawNode(paper, node, x + (column - DRAWING.width) / 2, y), { alt }),
  };
}
