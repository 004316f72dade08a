/** A node on its pole from the side, with numbers at its parts: our own simple lines. */

import { LIGHT } from '../report/theme.ts';
import { HAIRLINE, INK, type Paper } from './paper.ts';

export const DRAWING = { width: 230, height: 262 } as const;

export interface DrawnNode {
  readonly cells: number;
  readonly tilt_deg: number;
  readonly panelFaces: 'south' | 'north';
}

/** Names of the parts in the order of their numbers. */
export const partNames = ({ cells, panelFaces }: DrawnNode): readonly string[] => [
  'Antenna: upright, screwed on before anything is switched on',
  `Panel: faces ${panelFaces}, nothing in front of it`,
  'Housing: shaded by the panel where that can be had',
  'Radio and charger',
  cells === 1 ? 'Cell' : `${cells} cells`,
  'Vent and cable glands: downward',
  'Clamps: two, on a pole that does not turn',
];

interface PlacedCell {
  readonly x: number;
  readonly y: number;
  readonly wide: number;
  readonly high: number;
}

/** As many cells as there are, up to eight: in one column up to four, else in two. */
function placeCells(count: number): PlacedCell[] {
  const shown = Math.min(Math.max(count, 1), 8);
  const columns = shown > 4 ? 2 : 1;
  const rows = Math.ceil(shown / columns);
  const wide = columns === 1 ? 42 : 19;
  const high = Math.min(10, 44 / rows - 3);
  return Array.from({ length: shown }, (_, i) => ({
    // The right column first, since the number stands to the right.
    x: columns === 1 ? 141 : i < rows ? 164 : 139,
    y: 154 + (i % rows) * (44 / rows),
    wide,
    high,
  }));
}

/** Draws it with its upper left corner at `x`, `y`, in the size of `DRAWING`. */
export function drawNode(paper: Paper, node: DrawnNode, x: number, y: number): void {
  const { doc } = paper;
  doc.save().translate(x, y).lineCap('round').lineJoin('round');
  const line = (x1: number, y1: number, x2: number, y2: number, wide: number, colour: string = INK) =>
    doc.moveTo(x1, y1).lineTo(x2, y2).lineWidth(wide).stroke(colour);

  // Sun.
  doc.circle(26, 24, 9).fill(LIGHT.sun);
  for (let i = 0; i < 8; i++) {
    const a = (i * Math.PI) / 4;
    line(26 + 13 * Math.cos(a), 24 + 13 * Math.sin(a), 26 + 18 * Math.cos(a), 24 + 18 * Math.sin(a), 1.2, LIGHT.sun);
  }
  // Pole, from below the paper's edge to above the clamps.
  doc.rect(108, 62, 9, 196).fillAndStroke(HAIRLINE, INK);
  // Clamps and housing.
  for (const cy of [132, 186])
    doc
      .rect(102, cy - 4, 30, 8)
      .lineWidth(1)
      .fillAndStroke('#FFFFFF', INK);
  doc.roundedRect(130, 112, 66, 98, 6).lineWidth(1.4).fillAndStroke('#FFFFFF', INK);
  // Board, then cells below it.
  doc.rect(139, 122, 48, 24).lineWidth(0.9).stroke(INK);
  for (const [bx, by] of [
    [145, 128],
    [157, 128],
    [169, 128],
    [145, 138],
    [163, 138],
  ] as const)
    doc.rect(bx, by, 7, 4).lineWidth(0.7).stroke(INK);
  const cells = placeCells(node.cells);
  for (const { x: cellX, y: cellY, wide, high } of cells) {
    doc.roundedRect(cellX, cellY, wide, high, 2).lineWidth(0.9).fillAndStroke('#FFFFFF', LIGHT.dusk);
    doc.rect(cellX + wide, cellY + high / 2 - 2, 2.5, 4).fill(LIGHT.dusk);
  }
  // Vent and gland on the underside.
  doc.rect(144, 210, 10, 5).lineWidth(1).stroke(INK);
  doc.rect(172, 210, 8, 7).lineWidth(1).stroke(INK);
  // Antenna on top.
  doc.rect(176, 105, 8, 7).lineWidth(1).fillAndStroke('#FFFFFF', INK);
  line(180, 105, 180, 22, 3.4, LIGHT.lake);
  // Panel on its arm; the sunny side looks left.
  const tilt = (Math.min(Math.max(node.tilt_deg, 0), 90) * Math.PI) / 180;
  const [cx, cy, half] = [70, 86, 35];
  const [dx, dy] = [half * Math.cos(tilt), half * Math.sin(tilt)];
  line(cx, cy, 108, 94, 2);
  line(cx - dx, cy + dy, cx + dx, cy - dy, 5, LIGHT.sun);
  line(cx - dx, cy + dy, cx - dx + 26, cy + dy, 0.7);
  doc
    .path(`M${cx - dx + 20} ${cy + dy}A20 20 0 0 0 ${cx - dx + 20 * Math.cos(tilt)} ${cy + dy - 20 * Math.sin(tilt)}`)
    .lineWidth(0.7)
    .stroke(INK);
  // Beside the lower edge, where neither arc nor cable comes at any tilt.
  paper.setText(`${Math.round(node.tilt_deg)}°`, cx - dx - 5, cy + dy + 10, 8, { align: 'right' });
  // Cable with a loop below the gland, so that water drips off.
  doc
    .path(`M${cx + 4} ${cy + 4}C${cx + 2} 190 120 262 158 246C180 240 177 228 176 217`)
    .lineWidth(1.2)
    .stroke(INK);
  paper.setText('drip loop', 164, 254, 7.5);
  paper.setText(node.panelFaces, 8, 158, 8.5, { face: 'bold' });
  line(46, 166, 8, 166, 1);
  line(8, 166, 14, 162, 1);
  line(8, 166, 14, 170, 1);

  // The number of the panel stands off its sunny side, above the middle.
  const [px, py] = [cx + 0.35 * dx, cy - 0.35 * dy];
  const off = (far: number) => [px - far * Math.sin(tilt), py - far * Math.cos(tilt)] as const;
  const middle = cells[Math.floor((cells.length - 1) / 2)]!;
  const numbers: readonly (readonly [number, number, number, number])[] = [
    [204, 44, 182, 48],
    [...off(25), ...off(3)],
    [218, 120, 196, 124],
    [218, 140, 187, 136],
    [218, 170, middle.x + middle.wide + 3, middle.y + middle.high / 2],
    [218, 214, 178, 213],
    [82, 172, 102, 184],
  ];
  numbers.forEach(([nx, ny, tx, ty], i) => {
    line(nx, ny, tx, ty, 0.6);
    doc.circle(nx, ny, 7.5).lineWidth(0.9).fillAndStroke('#FFFFFF', INK);
    paper.setText(String(i + 1), nx, ny + 3.1, 8.5, { face: 'bold', align: 'centre' });
  });
  doc.restore();
}
