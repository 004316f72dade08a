import { pictureStyle } from '../../report/theme.ts';

/** The style of the pictures, as a sheet of its own: inline styles are not allowed by the server's policy. */
export function addPictureStyle(): void {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(pictureStyle());
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
}
