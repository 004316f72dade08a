/** Colours, type scale and spacing of every page and picture. */

export type ColourName = 'paper' | 'ink' | 'hairline' | 'lake' | 'dusk' | 'sun';
export type Theme = Readonly<Record<ColourName, string>>;

/** Lake: action and selection. Dusk: dark hours and loss. Sun: harvest; it is for marks, not for text on light paper. */
export const LIGHT: Theme = {
  paper: '#F6F4EE',
  ink: '#1E292D',
  hairline: '#D8D3C5',
  lake: '#1B6B75',
  dusk: '#5A4A86',
  sun: '#B9770E',
};
export const DARK: Theme = {
  paper: '#14191B',
  ink: '#E7E4DA',
  hairline: '#2C3538',
  lake: '#6FC2C9',
  dusk: '#B3A5E0',
  sun: '#E8B04B',
};

/** Type sizes, px: 16 and a scale of 1.25. */
export const TYPE_px = { small: 12.8, body: 16, lead: 20, head: 25, verdict: 31.25 } as const;

export const FONT_TEXT =
  '"Atkinson Hyperlegible Next","Atkinson Hyperlegible",system-ui,-apple-system,"Segoe UI",Roboto,"Helvetica Neue",' +
  'Arial,sans-serif';
export const FONT_FIGURES =
  '"Atkinson Hyperlegible Mono",ui-monospace,"SF Mono",Consolas,"Liberation Mono",Menlo,monospace';

const NAMES: readonly ColourName[] = ['paper', 'ink', 'hairline', 'lake', 'dusk', 'sun'];
const properties = (theme: Theme) => NAMES.map((name) => `--${name}:${theme[name]}`).join(';');

/** Custom properties of both themes; paper is light when printed. */
export function themeProperties(root: string): string {
  return (
    `${root}{color-scheme:light dark;${properties(LIGHT)}}` +
    `@media screen and (prefers-color-scheme:dark){${root}{${properties(DARK)}}}`
  );
}

/** Each colour twice: programs that do not know custom properties take the first, light, one. */
const twice = (property: string, name: ColourName) =>
  `${property}:${LIGHT[name]};${property}:var(--${name},${LIGHT[name]})`;

/**
 * Style sheet of the pictures: `sp-f-NAME` fills, `sp-s-NAME` strokes, `sp-h` gives text a halo of paper, `sp-b` is bold,
 * `sp-q` is small. With `root`, the custom properties are defined as well.
 */
export function pictureStyle(root?: string): string {
  // Strokes first: a shape with both classes is filled.
  const colours =
    NAMES.map((name) => `.sp-s-${name}{fill:none;${twice('stroke', name)}}`).join('') +
    NAMES.map((name) => `.sp-f-${name}{${twice('fill', name)}}`).join('');
  return `${root === undefined ? '' : themeProperties(root)}.sp text{font-family:${FONT_TEXT};font-size:${TYPE_px.small}px;font-variant-numeric:tabular-nums;${twice('fill', 'ink')}}${colours}.sp .sp-q{font-size:11px}.sp .sp-b{font-weight:700}.sp .sp-h{${twice('stroke', 'paper')};stroke-width:4px;stroke-linejoin:round;paint-order:stroke}.sp .sp-on-b{fill:#000}.sp .sp-on-w{fill:#fff}`;
}
