// `npm start`: sets up, builds, runs the demo kit at the demo perch, then opens the workbench with the demo in the browser.
// Without a terminal, with CI=true or with --once it ends after the verdict.
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, statSync } from 'node:fs';
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
const code = run(process.execPath, [
  'bin/sunperch',
  'year',
  'examples/alder-3.yaml',
  'examples/hut-kaldra.yaml',
  '--report',
  'out/alder-3-at-hut-kaldra.html',
]);
// The demo has a workshop of its own, so that nobody's records mix with it.
const serve = ['bin/sunperch', 'serve', '--demo', '--workshop', 'out/demo.sunperch'];
const once = process.argv.includes('--once') || process.env.CI === 'true' || !process.stdout.isTTY;
if (code !== 0 || once) {
  console.log(`The same in the browser: ${serve.join(' ')}`);
  process.exitCode = code;
} else workbench();

/** Serves until Ctrl-C; the browser opens as soon as the address is known. */
function workbench() {
  mkdirSync('out', { recursive: true });
  // In a group of its own, or Ctrl-C would reach it twice, and a second one cuts it short.
  const server = spawn(process.execPath, serve, { stdio: ['ignore', 'pipe', 'inherit'], detached: true });
  let said = '';
  server.stdout.on('data', (data) => {
    process.stdout.write(data);
    if (said === undefined) return;
    said += data;
    const address = /is open at (http\S+)/.exec(said)?.[1];
    if (address === undefined) return;
    said = undefined;
    if (!openBrowser(address)) console.log(`Open ${address} in a browser.`);
  });
  // The server closes its books and ends, and this process with it.
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'])
    process.on(signal, () => server.kill(signal === 'SIGHUP' ? 'SIGTERM' : signal));
  server.on('exit', (status) => {
    process.exitCode = status ?? 0;
  });
}

/** Opens an address with the system's own opener; false where there is no screen or no opener. */
function openBrowser(address) {
  if (process.platform === 'darwin') return starts('open', [address]);
  if (process.platform === 'win32') return starts('cmd', ['/c', 'start', '', address]);
  if (!process.env.DISPLAY && !process.env.WAYLAND_DISPLAY) return false;
  return spawnSync('which', ['xdg-open']).status === 0 && starts('xdg-open', [address]);
}

function starts(command, args) {
  const opener = spawn(command, args, { stdio: 'ignore', detached: true });
  opener.on('error', () => console.log(`Open ${args.at(-1)} in a browser.`));
  opener.unref();
  return true;
}
