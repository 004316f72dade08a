// `npm test`: installs what it needs, then runs every gate and every test. The last line is `N passed, N failed, N skipped`.
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ensureChromium, ensureGdal, ensurePackages, ensurePdfReaders, ensurePostgres, run } from './setup.mjs';

process.chdir(new URL('..', import.meta.url).pathname);
ensurePackages();
const chromium = ensureChromium();
if (chromium) process.env.CHROMIUM_PATH = chromium;
if (!ensurePostgres())
  console.log('Without PostgreSQL the tests of the store run on SQLite alone, and the others are skipped.');

if (!ensureGdal()) console.log('Without GDAL line of sight is not held against its viewshed.');
if (!ensurePdfReaders()) console.log('Without poppler-utils and zbar-tools papers are not read back.');

const tally = { passed: 0, failed: 0, skipped: 0 };
const gate = (name, command, args) => {
  const start = process.hrtime.bigint();
  const ok = run(command, args) === 0;
  const seconds = Number(process.hrtime.bigint() - start) / 1e9;
  console.log(`${ok ? 'ok    ' : 'FAILED'} ${name} (${seconds.toFixed(1)} s)`);
  tally[ok ? 'passed' : 'failed']++;
};

gate('build', process.execPath, ['tools/build.mjs']);
gate('lint and format', 'npx', ['--no-install', 'biome', 'check', '--error-on-warnings', '.']);
gate('types, folder by folder', process.execPath, ['tools/types.mjs']);
gate('imports point one way', process.execPath, ['tools/imports.mjs']);
gate('pure folders are pure', process.execPath, ['tools/pure.mjs']);
gate('licences are permissive', process.execPath, ['tools/licences.mjs']);

const file = join(mkdtempSync(join(tmpdir(), 'sunperch-')), 'tally.json');
const args = ['--no-install', 'vitest', 'run', ...process.argv.slice(2)];
const code = run('npx', args, { env: { ...process.env, SUNPERCH_TALLY: file } });
try {
  const unit = JSON.parse(readFileSync(file, 'utf8'));
  for (const key of Object.keys(tally)) tally[key] += unit[key];
  if (code !== 0 && unit.failed === 0) tally.failed++;
} catch {
  console.error('The test run left no count.');
  tally.failed++;
}
const skipsFail = process.env.CI === 'true' && tally.skipped > 0;
if (skipsFail) console.error(`${tally.skipped} skipped, which counts as failed when CI=true.`);
console.log(`${tally.passed} passed, ${tally.failed} failed, ${tally.skipped} skipped`);
process.exitCode = tally.failed > 0 || skipsFail ? 1 : 0;
