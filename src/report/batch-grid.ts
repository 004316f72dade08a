/** A batch at a glance: a small cell for each unit, in the row of the step that it waits at; its state by shape and word. */
import { element, escapeText, label, type PictureOptions, picture, textWidth } from './svg.ts';

export const UNIT_STANDINGS = [
  'ready',
  'shipped',
  'at the bench',
  'stopped',
  'kept back',
  'returned',
  'scrapped',
] as const;
export type UnitStanding = (typeof UNIT_STANDINGS)[number];

export interface GridUnit {
  readonly serial: string;
  readonly standing: UnitStanding;
  /** Key of the step that comes next; null when all are done. */
  readonly nextStep: string | null;
}
export interface BatchGridInput {
  readonly name: string;
  readonly units: readonly GridUnit[];
  readonly steps: readonly { readonly key: string; readonly name: string }[];
  /** A unit that stands out, such as the one that was just scanned. */
  readonly chosen?: string;
}

/** A cell of the picture, for whoever lays something over it. */
export interface GridCell {
  readonly serial: string;
  readonly standing: UnitStanding;
  /** Name of the row that it stands in. */
  readonly row: string;
  /** Centre, px. */
  readonly x: number;
  readonly y: number;
}
export interface GridLayout {
  readonly cells: readonly GridCell[];
  readonly rows: readonly {
    readonly name: string;
    readonly count: number;
    readonly top: number;
    readonly bottom: number;
  }[];
  readonly left: number;
  readonly cell_px: number;
  readonly height: number;
}

/** Rows in the order of the work: the steps, then what is assembled, then what is through; the rest last. */
function rowsOf({ units, steps }: BatchGridInput): { readonly name: string; readonly units: readonly GridUnit[] }[] {
  const done = (unit: GridUnit) => unit.standing === 'ready' || unit.standing === 'shipped';
  const away = (unit: GridUnit) => unit.standing === 'returned' || unit.standing === 'scrapped';
  const working = units.filter((unit) => !done(unit) && !away(unit));
  const rows = steps.map(({ key, name }) => ({ name, units: working.filter((unit) => unit.nextStep === key) }));
  rows.push({ name: 'assembled, gates open', units: working.filter((unit) => unit.nextStep === null) });
  rows.push({ name: 'through every gate', units: units.filter(done) });
  rows.push({ name: 'came back or scrapped', units: units.filter(away) });
  return rows.filter((row) => row.units.length > 0);
}

const KEY_px = 22;
const ROW_GAP_px = 10;
const LABEL_px = 15;

/** Places of all cells for a width. Below 520 px the names of the rows stand above them. */
export function batchGridLayout(input: BatchGridInput, width: number): GridLayout {
  const total = input.units.length;
  const cell_px = total <= 120 ? 24 : total <= 600 ? 16 : 11;
  const narrow = width < 520;
  const left = narrow ? 0 : 188;
  const across = Math.max(1, Math.floor((width - left) / cell_px));
  const cells: GridCell[] = [];
  const rows: { name: string; count: number; top: number; bottom: number }[] = [];
  let top = 4;
  for (const { name, units } of rowsOf(input)) {
    const from = top + (narrow ? LABEL_px + 4 : 0);
    units.forEach(({ serial, standing }, i) => {
      const x = left + ((i % across) + 0.5) * cell_px;
      cells.push({ serial, standing, row: name, x, y: from + (Math.floor(i / across) + 0.5) * cell_px });
    });
    const bottom = from + Math.max(Math.ceil(units.length / across) * cell_px, LABEL_px + 4);
    rows.push({ name, count: units.length, top, bottom });
    top = bottom + ROW_GAP_px;
  }
  const keys = keyLines(input, width);
  return { cells, rows, left, cell_px, height: Math.max(top, 24) + keys.length * KEY_px + 4 };
}

/** The standings that occur, with their counts, broken into lines. */
function keyLines({ units }: BatchGridInput, width: number): { standing: UnitStanding; text: string; x: number }[][] {
  const lines: { standing: UnitStanding; text: string; x: number }[][] = [[]];
  let x = 0;
  for (const standing of UNIT_STANDINGS) {
    const count = units.filter((unit) => unit.standing === standing).length;
    if (count === 0) continue;
    const text = `${standing} ${count}`;
    const wide = 22 + textWidth(text, 12) + 12;
    if (x > 0 && x + wide > width) {
      lines.push([]);
      x = 0;
    }
    lines.at(-1)!.push({ standing, text, x });
    x += wide;
  }
  return lines;
}

/** The shape of a standing: each reads without colour. */
export function standingShape(standing: UnitStanding, x: number, y: number, size_px: number): string {
  const r = size_px * 0.32;
  const thick = Math.max(1.2, size_px / 12);
  const path = (d: string, className: string) => element('path', { d, class: className, 'stroke-width': thick });
  switch (standing) {
    case 'ready':
      return element('circle', { cx: x, cy: y, r, class: 'sp-f-lake' });
    case 'shipped':
      return path(`M${x - r} ${y - r}L${x + r} ${y}L${x - r} ${y + r}Z`, 'sp-f-lake');
    case 'at the bench':
      return element('circle', { cx: x, cy: y, r, class: 'sp-s-ink', 'stroke-width': thick });
    case 'stopped':
      return path(`M${x - r} ${y - r}L${x + r} ${y + r}M${x + r} ${y - r}L${x - r} ${y + r}`, 'sp-s-dusk').replace(
        /stroke-width="[^"]*"/,
        `stroke-width="${Math.max(2, size_px / 8)}"`,
      );
    case 'kept back':
      return element('rect', { x: x - r, y: y - r, width: 2 * r, height: 2 * r, class: 'sp-f-dusk' });
    case 'returned':
      return path(`M${x + r} ${y - r}L${x - r} ${y}L${x + r} ${y + r}Z`, 'sp-s-dusk');
    case 'scrapped':
      return path(`M${x - r} ${y}H${x + r}`, 'sp-s-ink');
  }
}

/** The picture in words, for those who do not see it. */
export function batchGridSentence(input: BatchGridInput): string {
  const rows = rowsOf(input).map(({ name, units }) => `${name} ${units.length}`);
  return rows.length === 0 ? 'The batch has no units.' : `Units by the step that they wait at: ${rows.join(', ')}.`;
}

/** The grid as SVG; each cell holds its serial and state as a title. */
export function batchGrid(input: BatchGridInput, options: PictureOptions = {}): string {
  const { width = 752, id = 'batch' } = options;
  const layout = batchGridLayout(input, width);
  const { cells, rows, left, cell_px, height } = layout;
  const body: string[] = [];
  for (const { name, count, top, bottom } of rows) {
    const text = `${name}  ${count}`;
    if (left === 0) body.push(label(0, top + LABEL_px - 3, text, { class: 'sp-b' }));
    else {
      const room = Math.floor((left - 12 - textWidth(`  ${count}`, 12.8)) / (12.8 * 0.56));
      const shown = name.length > room ? `${name.slice(0, room - 1)}…` : name;
      body.push(label(0, top + 17, shown));
      body.push(label(left - 12, top + 17, String(count), { class: 'sp-b', 'text-anchor': 'end' }));
    }
    const y = bottom + ROW_GAP_px / 2;
    body.push(element('path', { d: `M0 ${y}H${width}`, class: 'sp-s-hairline' }));
  }
  for (const { serial, standing, x, y } of cells) {
    const ring =
      serial === input.chosen
        ? element('circle', { cx: x, cy: y, r: cell_px / 2, class: 'sp-s-ink', 'stroke-width': 1.5 })
        : '';
    body.push(
      element('g', {}, [
        element('title', {}, escapeText(`${serial}: ${standing}`)),
        standingShape(standing, x, y, cell_px),
        ring,
      ]),
    );
  }
  const lines = keyLines(input, width);
  lines.forEach((items, i) => {
    const y = height - (lines.length - i) * KEY_px + 10;
    for (const { standing, text, x } of items) {
      body.push(standingShape(standing, x + 8, y - 4, 20));
      body.push(label(x + 20, y, text, { class: 'sp-q' }));
    }
  });
  return picture({
    id,
    width,
    height,
    title: `${input.name}: units by step`,
    description: batchGridSentence(input),
    body,
    standalone: options.standalone ?? true,
  });
}
