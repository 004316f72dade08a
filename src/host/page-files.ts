import { createHash } from 'node:crypto';
import { readdir, readFile } from 'node:fs/promises';
import { extname, join, sep } from 'node:path';

/** Kinds of files that pages are made of; others are not served. */
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.svg': 'image/svg+xml; charset=utf-8',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
  '.txt': 'text/plain; charset=utf-8',
};

export interface ReadPage {
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly type: string;
  /** Changes with the content. */
  readonly tag: string;
}

/** All files of a folder of built pages by their path, `/index.html`; empty when the folder is not there. */
export async function readPages(folder: string): Promise<Map<string, ReadPage>> {
  const names = await readdir(folder, { recursive: true }).catch(() => [] as string[]);
  const pages = new Map<string, ReadPage>();
  for (const name of names) {
    const type = TYPES[extname(name)];
    if (type === undefined) continue;
    const bytes = Uint8Array.from(await readFile(join(folder, name)));
    const tag = createHash('sha256').update(bytes).digest('base64url').slice(0, 22);
    pages.set(`/${name.split(sep).join('/')}`, { bytes, type, tag });
  }
  return pages;
}
