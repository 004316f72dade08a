import { MONTH_NAMES } from '../core/units/index.ts';

/** Writes one line to standard output. */
export function say(line = ''): void {
  process.stdout.write(`${line}\n`);
}

/** Writes a result as JSON, indented, with typed arrays as plain lists. */
export function sayJson(value: unknown): void {
  const plain = (_key: string, item: unknown) =>
    ArrayBuffer.isView(item) && !(item instanceof DataView) ? Array.from(item as Float32Array) : item;
  say(JSON.stringify(value, plain, 2));
}

/** A plain table: first column to the left, the others to the right unless told; titles carry the units. */
export function table(
  titles: readonly string[],
  rows: readonly (readonly string[])[],
  left: readonly number[] = [0],
): string[] {
  const widths = titles.map((title, i) => Math.max(title.length, ...rows.map((row) => (row[i] ?? '').length)));
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, i) => (left.includes(i) ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!)))
      .join('  ')
      .trimEnd();
  return [line(titles), widths.map((w) => '-'.repeat(w)).join('  '), ...rows.map(line)];
}

/** Folds prose at 78 columns, with a hanging indent. */
export function fold(text: string, indent = '', width = 78): string[] {
  const lines: string[] = [];
  let current = '';
  for (const word of text.split(/\s+/)) {
    if (current !== '' && current.length + 1 + word.length > width - indent.length) {
      lines.push(indent + current);
      current = word;
    } else current = current === '' ? word : `${current} ${word}`;
  }
  if (current !== '') lines.push(indent + current);
  return lines;
}

export { MONTH_NAMES };
export const MONTHS_SHORT = MONTH_NAMES.map((name) => name.slice(0, 3));

/** A share as per cent with sensible digits. */
export function percent(share: number): string {
  const p = share * 100;
  return `${p === 0 ? '0' : p < 1 ? p.toPrecision(1) : p < 10 ? p.toFixed(1) : p.toFixed(0)} %`;
}
