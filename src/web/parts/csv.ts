/** Tables as text, and names of files. */

export type CsvCell = string | number | null;
export type CsvRows = readonly (readonly CsvCell[])[];

/** Comma-separated text; a cell that a table program would take for a formula gets an apostrophe. */
export function csvText(rows: CsvRows): string {
  const cell = (value: CsvCell) => {
    if (value === null || (typeof value === 'number' && !Number.isFinite(value))) return '';
    if (typeof value === 'number') return String(Number(value.toPrecision(9)));
    const safe = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
    return /[",\n\r]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
  };
  return `${rows.map((row) => row.map(cell).join(',')).join('\n')}\n`;
}

/** A name that every file system takes. */
export const fileName = (text: string, ending: string) =>
  `${
    text
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 80) || 'sunperch'
  }.${ending}`;
