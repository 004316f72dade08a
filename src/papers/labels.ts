/** Labels as PDF: a code, the serial as people read it, the kit, and the cautions, on sheets or one after the other. */

import { userError } from '../core/units/index.ts';
import { bars, code128, QUIET_128 } from './code128.ts';
import { checkLayout, placeLabels } from './label-layout.ts';
import { HAIRLINE, INK, Paper, PT_PER_MM } from './paper.ts';
import { drawQr, LEAST_MODULE_mm, type QrCode, QUIET_MODULES, qrCode } from './qr.ts';
import type { Line } from './type.ts';
import type { Label, LabelOptions, PaperSetting } from './types.ts';

export interface LabelSheets {
  readonly bytes: Uint8Array;
  readonly pages: number;
  /** Smallest module among the codes, mm. */
  readonly module_mm: number;
  /** What to know before they are printed, each once. */
  readonly notes: readonly string[];
}

/** Free of print along the edge: printers and knives are not exact. */
const EDGE_mm = 1.2;
const GAP_mm = 1;
const BARCODE_mm = 6.5;
/** Narrower bars are hard for simple scanners (common practice). */
const LEAST_BAR_mm = 0.19;
const SIZES = { serial: 12, line: 7.6, caution: 6.6 } as const;
/** Steps down from those sizes; the last is the smallest type that can be read. */
const SHRINK = [1, 0.92, 0.85, 0.78, 0.72, 0.66] as const;

interface Room {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/**
 * Sets labels; each code has its quiet zone of four modules inside the label. Throws UserError when the grid does not fit the paper,
 * a code cannot hold its text, or a label has no room for what must stand on it.
 */
export async function labelsPdf(
  labels: readonly Label[],
  options: LabelOptions,
  setting: PaperSetting,
): Promise<LabelSheets> {
  const { layout, level, startAt = 1 } = options;
  checkLayout(layout);
  const places = placeLabels(layout, labels.length, startAt);
  const width = layout.labelWidth_mm * PT_PER_MM;
  const height = layout.labelHeight_mm * PT_PER_MM;
  const paper = new Paper({
    paper: layout.kind === 'sheet' ? layout.paper : setting.paper,
    ...(layout.kind === 'roll' ? { size_pt: [width, height] } : {}),
    fonts: setting.fonts,
    title: `${labels.length} ${labels.length === 1 ? 'label' : 'labels'}`,
    created: setting.created,
  });
  const notes = new Map<string, string>();
  let module_mm = Number.POSITIVE_INFINITY;
  let page = -1;
  labels.forEach((label, i) => {
    const place = places[i]!;
    while (page < place.page) {
      paper.addPage();
      page++;
    }
    const at = { x: place.x_mm * PT_PER_MM, y: place.y_mm * PT_PER_MM, width, height };
    module_mm = Math.min(module_mm, drawLabel(paper, label, at, level, options, notes));
  });
  if (labels.length === 0) paper.addPage();
  if (options.outline) outlines(paper, options, page + 1);
  if (paper.type.missing.size > 0)
    notes.set(
      'type',
      `Some characters are not in the labels’ type and stand as \ufffd: ${[...paper.type.missing].slice(0, 12).join(' ')}.`,
    );
  return { bytes: await paper.bytes(), pages: page + 1, module_mm, notes: [...notes.values()] };
}

function drawLabel(
  paper: Paper,
  label: Label,
  at: Room,
  level: LabelOptions['level'],
  options: LabelOptions,
  notes: Map<string, string>,
): number {
  const edge = (EDGE_mm + 0.3 * options.layout.corner_mm) * PT_PER_MM;
  let room: Room = { x: at.x + edge, y: at.y + edge, width: at.width - 2 * edge, height: at.height - 2 * edge };
  if (options.barcode) {
    const high = BARCODE_mm * PT_PER_MM;
    drawBarcode(paper, label, { ...room, y: room.y + room.height - high, height: high }, notes);
    room = { ...room, height: room.height - high - GAP_mm * PT_PER_MM };
  }
  const code = qrCode(label.code, level);
  const upright = room.height > 1.15 * room.width;
  const side = upright ? Math.min(room.width, 0.6 * room.height) : Math.min(room.height, 0.5 * room.width);
  const module_mm = side / PT_PER_MM / (code.side + 2 * QUIET_MODULES);
  if (module_mm < LEAST_MODULE_mm) notes.set('module', narrowModules(label, code, level, module_mm));
  paper.tagged(
    'Figure',
    () => drawQr(paper.doc, code, upright ? room.x + (room.width - side) / 2 : room.x, room.y, side),
    { alt: `QR code: ${label.code}` },
  );
  const gap = GAP_mm * PT_PER_MM;
  const text: Room = upright
    ? { x: room.x, y: room.y + side + gap, width: room.width, height: room.height - side - gap }
    : { x: room.x + side + gap, y: room.y, width: room.width - side - gap, height: room.height };
  drawText(paper, label, text, options);
  return module_mm;
}

function narrowModules(label: Label, code: QrCode, level: string, module_mm: number): string {
  const lower = level === 'L' ? '' : `, a lower level than ${level}`;
  return `The code's modules are ${module_mm.toFixed(2)} mm wide, and scanners held in the hand want ${LEAST_MODULE_mm} mm or more: a shorter text than its ${[...label.code].length} characters (version ${code.version})${lower}, or a larger label would help. Try one before printing all.`;
}

/** Serial, lines and caution in the largest type that has room. */
function drawText(paper: Paper, label: Label, room: Room, options: LabelOptions): void {
  const { type } = paper;
  const gap = 0.7 * PT_PER_MM;
  for (const shrink of SHRINK) {
    const sizes = { serial: SIZES.serial * shrink, line: SIZES.line * shrink, caution: SIZES.caution * shrink };
    const wide = type.widthOf(label.serial, 'mono', sizes.serial);
    if (wide > room.width && shrink !== SHRINK.at(-1)) continue;
    const serial = Math.min(sizes.serial, (sizes.serial * room.width) / Math.max(wide, 1e-9));
    if (serial < 5) break;
    const lines = label.lines.flatMap((text, i) =>
      type.lines([{ text, face: i === 0 ? 'bold' : 'regular' }], room.width, sizes.line, INK),
    );
    const caution = label.caution === '' ? [] : type.lines([{ text: label.caution }], room.width, sizes.caution, INK);
    const need =
      serial * 1.15 +
      lines.length * sizes.line * 1.2 +
      gap +
      caution.length * sizes.caution * 1.18 +
      (caution.length > 0 ? gap : 0);
    if (need > room.height + 0.01) continue;
    let y = room.y;
    const set = (line: Line, size: number, step: number) => {
      paper.setLine(line, room.x, y + size * 0.86);
      y += step;
    };
    paper.tagged('P', () => {
      paper.setText(label.serial, room.x, y + serial * 0.86, serial, { face: 'mono' });
      y += serial * 1.15 + gap;
      for (const line of lines) set(line, sizes.line, sizes.line * 1.2);
    });
    if (caution.length > 0)
      paper.tagged('P', () => {
        y = room.y + room.height - caution.length * sizes.caution * 1.18;
        for (const line of caution) set(line, sizes.caution, sizes.caution * 1.18);
      });
    return;
  }
  const { labelWidth_mm, labelHeight_mm } = options.layout;
  throw userError(
    'label-room',
    `a label of ${labelWidth_mm} x ${labelHeight_mm} mm has no room for the serial ${label.serial}, its ${label.lines.length} lines and the caution${options.barcode ? ' beside code and bars' : ''} in type that can be read: take a larger label, or shorten the text`,
    { field: 'layout' },
  );
}

function drawBarcode(paper: Paper, label: Label, room: Room, notes: Map<string, string>): void {
  const code = bars(code128(label.serial));
  const module = Math.min(0.5 * PT_PER_MM, room.width / (code.modules + 2 * QUIET_128));
  if (module / PT_PER_MM < LEAST_BAR_mm)
    notes.set(
      'bars',
      `The bars are ${(module / PT_PER_MM).toFixed(2)} mm wide, and scanners want ${LEAST_BAR_mm} mm or more: a shorter serial or a wider label would help.`,
    );
  const x0 = room.x + (room.width - code.modules * module) / 2;
  paper.tagged(
    'Figure',
    () => {
      for (const [at, wide] of code.bars) paper.doc.rect(x0 + at * module, room.y, wide * module, room.height);
      paper.doc.fill('#000000');
    },
    { alt: `Code 128: ${label.serial}` },
  );
}

/** Edges of all places, for a trial on plain paper held against the sheet. */
function outlines(paper: Paper, { layout }: LabelOptions, pages: number): void {
  const each = layout.kind === 'sheet' ? layout.rows * layout.columns : 1;
  const places = placeLabels(layout, each * Math.max(pages, 1));
  for (const { page, x_mm, y_mm } of places) {
    paper.doc.switchToPage(page);
    paper.artifact(() =>
      paper.doc
        .roundedRect(
          x_mm * PT_PER_MM,
          y_mm * PT_PER_MM,
          layout.labelWidth_mm * PT_PER_MM,
          layout.labelHeight_mm * PT_PER_MM,
          Math.max(layout.corner_mm, 0.01) * PT_PER_MM,
        )
        .lineWidth(0.4)
        .stroke(HAIRLINE),
    );
  }
}
