// Bundles the command line into dist/, split into chunks so that `--help` loads only what it prints; then the pages.
import { cpSync, existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';
import { plainFont } from './sfnt.mjs';
import { buildWeb } from './web.mjs';

// Built beside and put in place at the end: whoever runs the old build meanwhile finds it whole.
const out = `dist.${process.pid}`;
rmSync(out, { recursive: true, force: true });
await build({
  entryPoints: {
    sunperch: 'src/cli/main.ts',
    worker: 'src/cli/worker.ts',
    job: 'src/cli/job.ts',
    terrain: 'src/cli/terrain.ts',
  },
  outdir: out,
  outExtension: { '.js': '.mjs' },
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  external: ['better-sqlite3', 'graphile-worker', 'pg'],
  minifySyntax: true,
  sourcemap: 'linked',
  legalComments: 'none',
  banner: {
    js: "import { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);",
  },
  logLevel: 'warning',
  plugins: [
    {
      // Nobody reads the messages of the schemas in another language, and parsing fifty of them takes time at each start.
      name: 'one-language',
      setup: ({ onLoad }) =>
        onLoad({ filter: /zod\/v4\/locales\/index\.js$/ }, () => ({
          contents: "export { default as en } from './en.js';",
        })),
    },
  ],
});

// The report's fonts stand beside the bundle, so that a page needs no network.
const fonts = {
  'regular.woff2': 'atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-400-normal.woff2',
  'bold.woff2': 'atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-700-normal.woff2',
  'mono.woff2': 'atkinson-hyperlegible-mono/files/atkinson-hyperlegible-mono-latin-400-normal.woff2',
};
// PDFs take them unpacked from WOFF, with the letters of more languages in files of their own: accented glyphs of WOFF2 cannot
// be embedded in part.
const paperFonts = {};
for (const [name, family, weight] of [
  ['regular', 'next', 400],
  ['bold', 'next', 700],
  ['mono', 'mono', 400],
]) {
  const file = `atkinson-hyperlegible-${family}/files/atkinson-hyperlegible-${family}`;
  paperFonts[`${name}.ttf`] = `${file}-latin-${weight}-normal.woff`;
  paperFonts[`${name}-ext.ttf`] = `${file}-latin-ext-${weight}-normal.woff`;
}
mkdirSync(`${out}/fonts`);
for (const [name, from] of Object.entries(fonts)) cpSync(`node_modules/@fontsource/${from}`, `${out}/fonts/${name}`);
for (const [name, from] of Object.entries(paperFonts))
  writeFileSync(`${out}/fonts/${name}`, plainFont(readFileSync(`node_modules/@fontsource/${from}`)));

// The solver of `find` keeps its code apart.
cpSync('node_modules/highs/build/highs.wasm', `${out}/highs.wasm`);

await buildWeb(`${out}/web`);

const old = `${out}.old`;
if (existsSync('dist')) renameSync('dist', old);
renameSync(out, 'dist');
rmSync(old, { recursive: true, force: true });
