/** The one layout of all pages: the thing in hand, the sentence, the picture, the table, beside it what was assumed. */

import { type Fonts, pageStyle } from './css.ts';
import { type State, stateShape } from './key.ts';
import { element, escapeText } from './svg.ts';

export interface Page {
  /** Title of the window. */
  readonly title: string;
  /** The thing in hand, first part in bold. */
  readonly thing: readonly string[];
  /** The sentence that answers the page's question. */
  readonly verdict: string;
  readonly state?: State;
  /** A second sentence, set a little smaller. */
  readonly lead?: string;
  /** Markup of the sections. */
  readonly main: readonly string[];
  /** Markup of the sections beside them. */
  readonly aside: readonly string[];
  /** Markup of sections that take the whole width, below both. */
  readonly below?: readonly string[];
  /** Markup behind one click. */
  readonly method: readonly string[];
  /** What the page was made from: files, commands. */
  readonly generatedFrom: readonly string[];
  readonly fonts?: Fonts;
}

/** A whole HTML file: no script, nothing fetched. */
export function pageLayout(page: Page): string {
  const [first = '', ...rest] = page.thing;
  const thing = [`<b>${escapeText(first)}</b>`, ...rest.map((t) => `<span>${escapeText(t)}</span>`)].join('');
  const made =
    page.generatedFrom.length === 0
      ? ''
      : `<p>Made from ${page.generatedFrom.map((g) => `<code>${escapeText(g)}</code>`).join(', ')}.</p>`;
  const aside = page.aside.filter((part) => part !== '');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${escapeText(page.title)}</title>
<style>${pageStyle(page.fonts)}</style>
</head>
<body>
<div class="page${aside.length > 0 ? ' wide-aside' : ''}">
<header>
<p class="thing">${thing}</p>
${page.state === undefined ? '' : stateLine(page.state)}
<h1>${escapeText(page.verdict)}</h1>
${page.lead === undefined ? '' : `<p class="lead">${escapeText(glue(page.lead))}</p>`}
</header>
<div class="columns">
<main>
${page.main.filter((part) => part !== '').join('\n')}
</main>
${aside.length === 0 ? '' : `<aside>\n${aside.join('\n')}\n</aside>`}
</div>
${(page.below ?? []).join('\n')}
<details><summary>How was this computed</summary>
${page.method.join('\n')}
${made}
</details>
<footer><p>Sunperch. All figures are estimates; local law, codes and licensed practice decide.</p></footer>
</div>
</body>
</html>
`;
}

/** Shape and word of a state in one line. */
export function stateLine(state: State): string {
  return `<p class="state">${stateIcon(state)}<span>${escapeText(state)}</span></p>`;
}

export function stateIcon(state: State, size_px = 16): string {
  return element(
    'svg',
    { class: 'sp', width: size_px, height: size_px, viewBox: '0 0 16 16', 'aria-hidden': 'true' },
    stateShape(state, 8, 8, 6.5),
  );
}

/** Keeps a figure with its unit, and a day with its month, on one line. */
export function glue(text: string): string {
  return text.replace(/(\d) (?=(?:%|°|h|W|Wh|years?|days?|cells?|[A-Z][a-z]{2})(?![A-Za-z]))/g, '$1\u00a0');
}

/** A section with a heading, a sentence that says what is to be seen, and its content. */
export function section(id: string, heading: string, said: string, ...content: readonly string[]): string {
  return `<section id="${escapeText(id)}"${content.some((c) => c.startsWith('<figure')) ? ' class="picture"' : ''} aria-labelledby="${escapeText(id)}-h">
<h2 id="${escapeText(id)}-h">${escapeText(heading)}</h2>
${said === '' ? '' : `<p class="said">${escapeText(glue(said))}</p>`}
${content.join('\n')}
</section>`;
}

/** Widths for which the large pictures are laid out: the main column, and a phone of 390 px less its margins. */
export const WIDE_px = 752;
export const NARROW_px = 358;

/** A picture laid out twice, for wide and for narrow screens; style sheet and paper choose. */
export function figureTwice(id: string, draw: (width: number, id: string) => string): string {
  return `<figure><div class="wide">${draw(WIDE_px, id)}</div><div class="narrow">${draw(NARROW_px, `${id}-narrow`)}</div></figure>`;
}

/** A picture that fits both as it is. */
export function figure(svg: string): string {
  return `<figure>${svg}</figure>`;
}
