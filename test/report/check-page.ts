import { expect } from 'vitest';
import { checkPicture } from './xml.ts';

/** Checks what every page must keep: closed tags, unique ids, sound pictures, no script, nothing fetched, images only within. */
export function checkPage(html: string): void {
  const body = html.slice(html.indexOf('<body>'), html.indexOf('</html>'));
  const open: string[] = [];
  for (const [, close, name, rest] of body.matchAll(/<(\/?)([a-z][a-z0-9]*)((?:[^>"]|"[^"]*")*)>/gi)) {
    if (name === 'br' || rest!.endsWith('/')) continue;
    if (close) expect(open.pop(), `</${name}>`).toBe(name);
    else open.push(name!);
  }
  expect(open).toEqual([]);
  const ids = [...html.matchAll(/\sid="([^"]*)"/g)].map((m) => m[1]);
  expect(new Set(ids).size).toBe(ids.length);
  for (const [, reference] of html.matchAll(/aria-labelledby="([^"]*)"/g))
    for (const id of reference!.split(' ')) expect(ids).toContain(id);
  for (const [svg] of html.matchAll(/<svg xmlns.*?<\/svg>/gs)) checkPicture(svg);
  expect(html).not.toMatch(
    /<script|<link|<iframe|<img(?! [^>]*src="data:image\/png;base64,[A-Za-z0-9+/=]+"\/>)|@import|\son[a-z]+="/i,
  );
  expect(html.replaceAll('http://www.w3.org/2000/svg', '')).not.toMatch(/https?:|url\((?!#|data:font)/);
  // Base64 may hold any letters.
  expect(body.replace(/base64,[A-Za-z0-9+/=]+/g, '')).not.toMatch(/NaN|undefined|Infinity|\[object/);
}
