// What a fresh clone needs before it can do anything: the packages of the lock file. Only Node's own modules in here.
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';

export function run(command, args, options = {}) {
  const result = spawnSync(command, args, { stdio: 'inherit', ...options });
  if (result.error) throw result.error;
  return result.status ?? 1;
}

/** Installs the packages when they are missing or older than the lock file. */
export function ensurePackages() {
  const stamp = 'node_modules/.package-lock.json';
  if (existsSync(stamp) && statSync(stamp).mtimeMs >= statSync('package-lock.json').mtimeMs) return;
  console.log('Installing packages (once) …');
  if (run('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error']) !== 0) {
    console.error('The packages could not be installed. Is the npm registry reachable?');
    process.exit(1);
  }
}

/** Installs Debian packages, quietly and as root only; elsewhere nothing happens. */
function installOnDebian(why, packages) {
  if (!existsSync('/etc/debian_version') || process.getuid?.() !== 0) return;
  console.log(`Installing ${packages[0]} for ${why} (once) …`);
  const quiet = { stdio: 'ignore', env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } };
  run('apt-get', ['update', '-qq'], quiet);
  run('apt-get', ['install', '-y', '--no-install-recommends', ...packages], quiet);
}

/** Path of a Chromium for the tests that draw: CHROMIUM_PATH, the usual place, else installed; undefined where there is none. */
export function ensureChromium() {
  const found = () => [process.env.CHROMIUM_PATH, '/usr/bin/chromium'].find((path) => path && existsSync(path));
  if (!found()) installOnDebian('the page tests', ['chromium', 'fonts-dejavu-core']);
  return found();
}

/** Whether a PostgreSQL server can be started for the tests of the store. */
export function ensurePostgres() {
  // Debian keeps the server's programs off the path, one folder a version.
  const versions = '/usr/lib/postgresql';
  const found = () =>
    spawnSync('pg_ctl', ['--version']).status === 0 ||
    (existsSync(versions) && readdirSync(versions).some((v) => existsSync(`${versions}/${v}/bin/initdb`)));
  if (!found()) installOnDebian('the tests of the store', ['postgresql']);
  return found();
}

/** Whether the general raster tools are there, against which line of sight is held. */
export function ensureGdal() {
  const found = () => spawnSync('gdal_viewshed', ['--version']).error === undefined;
  if (!found()) installOnDebian('the tests of line of sight', ['gdal-bin']);
  return found();
}

/** Whether text, codes and sizes of a PDF can be read back: poppler's tools and a decoder of bar codes. */
export function ensurePdfReaders() {
  const found = () => ['pdftotext', 'zbarimg'].every((tool) => spawnSync(tool, ['--version']).error === undefined);
  if (!found()) installOnDebian('the tests of papers', ['poppler-utils', 'zbar-tools']);
  return found();
}

export const version = () => JSON.parse(readFileSync('package.json', 'utf8')).version;
