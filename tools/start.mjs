// `npm start`: sets up, builds, runs the demo kit at the demo perch and says where the report page is.
import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { ensurePackages, run } from './setup.mjs';

process.chdir(new URL('..', import.meta.url).pathname);
ensurePackages();
const newest = (folder) =>
  Math.max(
    ...readdirSync(folder, { withFileTypes: true }).map((e) =>
      e.isDirectory() ? newest(join(folder, e.name)) : statSync(join(folder, e.name)).mtimeMs,
    ),
  );
const bundle = 'dist/sunperch.mjs';
if (!existsSync(bundle) || statSync(bundle).mtimeMs < newest('src')) {
  console.log('Building …');
  if (run(process.execPath, ['tools/build.mjs']) !== 0) process.exit(1);
}
process.exitCode = run(process.execPath, [
  'bin/sunperch',
  'year',
  'examples/alder-3.yaml',
  'examples/hut-kaldra.yaml',
  '--report',
  'out/alder-3-at-hut-kaldra.html',
]);
console.log('The same in the browser: bin/sunperch serve --demo');
