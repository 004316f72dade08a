// Builds the pages into dist/web: hashed files that may be kept for ever, a service worker that knows all of them, and a
// check that the JavaScript stays small.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { gzipSync } from 'node:zlib';
import { build } from 'vite';

/** Most JavaScript before a map is opened, kB gzipped. */
export const MOST_kB = 350;

/** Builds into the folder `out`. */
export async function buildWeb(out = 'dist/web') {
  const built = await build({
    root: 'src/web',
    configFile: false,
    base: '/',
    logLevel: 'warn',
    oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
    worker: { format: 'es' },
    build: {
      outDir: resolve(out),
      emptyOutDir: true,
      target: 'es2022',
      assetsInlineLimit: 0,
      modulePreload: { polyfill: false },
      rolldownOptions: {
        input: { index: 'src/web/index.html', sw: 'src/web/sw.ts' },
        output: { entryFileNames: (chunk) => (chunk.name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js') },
      },
    },
  });
  const files = listFiles(out).filter((file) => file !== 'sw.js' && !file.endsWith('.map'));
  const hash = createHash('sha256');
  for (const file of files) hash.update(file).update(readFileSync(join(out, file)));
  const edition = hash.digest('hex').slice(0, 16);
  const worker = readFileSync(join(out, 'sw.js'), 'utf8');
  const filled = worker
    .replace(/["'`]__EDITION__["'`]/, () => JSON.stringify(edition))
    .replace(/["'`]__FILES__["'`]/, () => JSON.stringify(JSON.stringify(files.map((file) => `/${file}`))));
  if (filled.includes('__EDITION__') || filled.includes('__FILES__') || filled === worker)
    throw new Error('web: the service worker has no place for the list of files');
  writeFileSync(join(out, 'sw.js'), filled);
  const early = loadedFirst([built].flat().flatMap(({ output }) => output));
  const sizeOf = (list) => list.reduce((sum, file) => sum + gzipSync(readFileSync(join(out, file))).length / 1000, 0);
  const kB = sizeOf(early);
  const late_kB = sizeOf(files.filter((file) => file.endsWith('.js') && !early.includes(file)));
  if (kB > MOST_kB)
    throw new Error(`web: ${kB.toFixed(0)} kB of JavaScript (gzipped) before the map; at most ${MOST_kB} are allowed`);
  return { edition, files, kB, late_kB };
}

/** The scripts that the first pages load: what the entry imports at once, and the workers that these name. */
function loadedFirst(output) {
  const byName = new Map(output.map((file) => [file.fileName, file]));
  const found = new Set();
  const add = (name) => {
    const chunk = byName.get(name);
    if (chunk === undefined || found.has(name)) return;
    found.add(name);
    for (const next of chunk.imports ?? []) add(next);
    for (const { fileName, type } of output)
      if (type === 'asset' && fileName.endsWith('.js') && chunk.code?.includes(fileName)) add(fileName);
  };
  for (const file of output) if (file.type === 'chunk' && file.isEntry && file.name !== 'sw') add(file.fileName);
  return [...found];
}

function listFiles(folder, under = '') {
  return readdirSync(join(folder, under), { withFileTypes: true })
    .flatMap((e) => (e.isDirectory() ? listFiles(folder, `${under}${e.name}/`) : [`${under}${e.name}`]))
    .sort();
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { files, kB, late_kB } = await buildWeb();
  console.log(
    `web: ${files.length} files, ${kB.toFixed(0)} kB of JavaScript gzipped, ${late_kB.toFixed(0)} kB more with the map`,
  );
}
