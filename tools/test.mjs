// `npm test`: installs what it needs, then runs every gate and every test. The last line is `N passed, N failed, N skipped`.
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ensureChromium, ensureGdal, ensurePackages, ensurePdfReaders, ensurePostgres } from './setup.mjs';

process.chdir(new URL('..', import.meta.url).pathname);
ensurePackages();
const chromium = ensureChromium();
if (chromium) process.env.CHROMIUM_PATH = chromium;
if (!ensurePostgres())
  console.log('Without PostgreSQL the tests of the store run on SQLite alone, and the others are skipped.');

if (!ensureGdal()) console.log('Without GDAL line of sight is not held against its viewshed.');
if (!ensurePdfReaders()) console.log('Without poppler-utils and zbar-tools papers are not read back.');

const tally = { passed: 0, failed: 0, skipped: 0 };
const seconds = (start) => (Number(process.hrtime.bigint() - start) / 1e9).toFixed(1);
/** Runs a program to its end; what it prints is kept unless it may print as it goes. */
const ending = (command, args, options = {}) =>
  new Promise((done, fail) => {
    const child = spawn(command, args, options);
    let text = '';
    for (const stream of [child.stdout, child.stderr])
      stream?.setEncoding('utf8').on('data', (part) => {
        text += part;
      });
    child.on('error', fail);
    child.on('close', (code) => done({ ok: code === 0, text }));
  });
/** A gate prints in one piece, so that it stands together among what the tests print meanwhile. */
const gate = async (name, command, args) => {
  const start = process.hrtime.bigint();
  const { ok, text } = await ending(command, args);
  process.stdout.write(`${text}${ok ? 'ok    ' : 'FAILED'} ${name} (${seconds(start)} s)\n`);
  tally[ok ? 'passed' : 'failed']++;
  if (!ok) failedGates.push(name);
};
/** Named again at the end: the tests print a lot after them. */
const failedGates = [];
/** The gates one after the other, beside the tests. */
async function gates() {
  await gate('lint and format', 'npx', ['--no-install', 'biome', 'check', '--error-on-warnings', '.']);
  await gate('imports point one way', process.execPath, ['tools/imports.mjs']);
  await gate('pure folders are pure', process.execPath, ['tools/pure.mjs']);
  await gate('licences are permissive', process.execPath, ['tools/licences.mjs']);
  await gate('types, folder by folder', process.execPath, ['tools/types.mjs']);
}

// The tests run what is built; nothing else waits for anything.
await gate('build', process.execPath, ['tools/build.mjs']);
const file = join(mkdtempSync(join(tmpdir(), 'sunperch-')), 'tally.json');
const args = ['--no-install', 'vitest', 'run', ...process.argv.slice(2)];
const tests = ending('npx', args, { stdio: 'inherit', env: { ...process.env, SUNPERCH_TALLY: file } });
const [{ ok }] = await Promise.all([tests, gates()]);
try {
  const unit = JSON.parse(readFileSync(file, 'utf8'));
  for (const key of Object.keys(tally)) tally[key] += unit[key];
  if (!ok && unit.failed === 0) tally.failed++;
} catch {
  console.error('The test run left no count.');
  tally.failed++;
}
for (const name of failedGates) console.error(`FAILED ${name}`);
const skipsFail = process.env.CI === 'true' && tally.skipped > 0;
if (skipsFail) console.error(`${tally.skipped} skipped, which counts as failed when CI=true.`);
console.log(`${tally.passed} passed, ${tally.failed} failed, ${tally.skipped} skipped`);
process.exitCode = tally.failed > 0 || skipsFail ? 1 : 0;
