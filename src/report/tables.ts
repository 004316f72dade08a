/** HTML tables: text to the left, figures to the right, units in the head. */

import { escapeText } from './svg.ts';

export interface Column {
  readonly head: string;
  /** Figures are set to the right in the figures' font. */
  readonly figures?: boolean;
}

export interface Row {
  /** Text, escaped here; or markup as it is. */
  readonly cells: readonly (string | { readonly html: string })[];
  readonly className?: 'sum' | 'here' | 'differs';
}

/** A table whose first column heads its rows; wide ones scroll inside themselves. */
export function table(
  caption: string,
  columns: readonly Column[],
  rows: readonly Row[],
  options: { readonly tight?: boolean } = {},
): string {
  const head = columns
    .map((c) => `<th scope="col"${c.figures ? ' class="n"' : ''}>${escapeText(c.head)}</th>`)
    .join('');
  const body = rows
    .map((row) => {
      const cells = row.cells.map((cell, i) => {
        const content = typeof cell === 'string' ? escapeText(cell) : cell.html;
        // Words among figures, such as a month's name, keep the font of text.
        const figures = /\d/.test(content) && i > 0;
        const className = columns[i]?.figures ? ` class="n${figures ? ' f' : ''}"` : '';
        return i === 0 ? `<th scope="row"${className}>${content}</th>` : `<td${className}>${content}</td>`;
      });
      return `<tr${row.className === undefined ? '' : ` class="${row.className}"`}>${cells.join('')}</tr>`;
    })
    .join('\n');
  return `<div class="scroll" tabindex="0" role="region" aria-label="${escapeText(caption)}"><table${options.tight ? ' class="tight"' : ''}>
<caption>${escapeText(caption)}</caption>
<thead><tr>${head}</tr></thead>
<tbody>
${body}
</tbody></table></div>`;
}
