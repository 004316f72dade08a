/** What general programs read in a PDF: poppler's tools and a decoder of codes. Where one is missing, its tests say so and are left out. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const there = (tool: string, flag: string): boolean => {
  try {
    execFileSync(tool, [flag], { stdio: 'ignore' });
    return true;
  } catch (error) {
    // Some of them end with an error when asked for their version, but they are there.
    return (error as NodeJS.ErrnoException).code !== 'ENOENT';
  }
};
export const hasPoppler = there('pdftotext', '-v');
export const hasDecoder = hasPoppler && there('zbarimg', '--version');
if (!hasPoppler)
  console.warn('papers: poppler-utils is missing, what PDFs say is not tested (apt-get install poppler-utils)');
if (hasPoppler && !hasDecoder)
  console.warn('papers: zbarimg is missing, codes are not read back (apt-get install zbar-tools)');

function withFile<T>(bytes: Uint8Array, use: (file: string, folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'papers-'));
  try {
    writeFileSync(join(folder, 'it.pdf'), bytes);
    return use(join(folder, 'it.pdf'), folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const run = (tool: string, ...rest: string[]) =>
  execFileSync(tool, rest, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'], maxBuffer: 1 << 26 });

/** All text, each run of white space as one space. */
export const textIn = (bytes: Uint8Array): string =>
  withFile(bytes, (file) => run('pdftotext', file, '-')).replace(/\s+/g, ' ');

export interface Word {
  readonly page: number;
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Each word with its box, points from the upper left corner of its page. */
export const wordsIn = (bytes: Uint8Array): Word[] =>
  withFile(bytes, (file) => {
    const words: Word[] = [];
    let page = 0;
    for (const line of run('pdftotext', '-bbox', file, '-').split('\n')) {
      if (line.includes('<page ')) page++;
      const [, left, top, right, bottom, text = ''] =
        /<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*)<\/word>/.exec(line) ?? [];
      if (left === undefined) continue;
      const [l, t, r, b] = [left, top, right, bottom].map(Number) as [number, number, number, number];
      words.push({ page, text, left: l, top: t, right: r, bottom: b });
    }
    return words;
  });

export const infoOf = (bytes: Uint8Array): string => withFile(bytes, (file) => run('pdfinfo', file));

/** Structure that screen readers follow. */
export const structureOf = (bytes: Uint8Array): string =>
  withFile(bytes, (file) => run('pdfinfo', '-struct-text', file));

/** What a decoder reads on each page, rendered at so many dots per inch. */
export const codesIn = (bytes: Uint8Array, dpi = 200): string[] =>
  withFile(bytes, (file, folder) => {
    run('pdftoppm', '-r', String(dpi), '-gray', file, join(folder, 'p'));
    const pages = readdirSync(folder)
      .filter((f) => f.startsWith('p'))
      .sort();
    return pages.flatMap((page) => {
      try {
        return run('zbarimg', '-q', '--raw', join(folder, page)).split('\n').filter(Boolean);
      } catch {
        return [];
      }
    });
  });
