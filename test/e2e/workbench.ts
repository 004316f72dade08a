/** The real server with the demo and a real Chromium, for the tests of the pages. */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';

export const CHROMIUM = [process.env['CHROMIUM_PATH'], '/usr/bin/chromium'].find((path) => path && existsSync(path));
export const BUILT = existsSync('dist/web/index.html') && existsSync('dist/sunperch.mjs');

/** Why the tests of the pages cannot run here; undefined where they can. */
export const WHY_NOT = !CHROMIUM
  ? 'no Chromium: set CHROMIUM_PATH or install Debian’s chromium'
  : !BUILT
    ? 'the pages are not built: run npm run build'
    : undefined;

/** Folder for pictures of the screens, where one is wanted. */
const PICTURES = process.env['SUNPERCH_SCREENS'];

export interface Workbench {
  readonly url: string;
  readonly browser: Browser;
  /** A new window; what it logs as an error is collected. */
  open(options?: BrowserContextOptions): Promise<Page>;
  /** Errors that any window has logged. */
  readonly errors: string[];
  /** Ends the server at once, as a crash would. */
  kill(): Promise<void>;
  /** Starts it again at the same address. */
  start(): Promise<void>;
  close(): Promise<void>;
}

/** With a passphrase the workshop is locked, as one that is open to a network; `flags` are the browser's own. */
export async function workbench(passphrase?: string, flags: readonly string[] = []): Promise<Workbench> {
  const folder = mkdtempSync(join(tmpdir(), 'sunperch-e2e-'));
  let server: ChildProcess | undefined;
  let url = '';
  const start = async (port: string) => {
    const child = spawn(
      process.execPath,
      ['bin/sunperch', 'serve', '--demo', '--json', '--workshop', join(folder, 'demo.sunperch'), '--port', port],
      {
        stdio: ['ignore', 'pipe', 'pipe'],
        env: { ...process.env, ...(passphrase === undefined ? {} : { SUNPERCH_PASSPHRASE: passphrase }) },
      },
    );
    server = child;
    url = await new Promise<string>((resolve, reject) => {
      let text = '';
      const read = (data: Buffer) => {
        text += data.toString();
        const found = /"url":\s*"([^"]+)"/.exec(text);
        if (found) resolve(found[1]!);
      };
      child.stdout?.on('data', read);
      child.stderr?.on('data', read);
      child.on('exit', (code) => reject(new Error(`the server ended with ${code}: ${text}`)));
    });
  };
  const end = (signal: 'SIGKILL' | 'SIGTERM') =>
    new Promise<void>((resolve) => {
      if (server === undefined || server.exitCode !== null) return resolve();
      server.on('exit', () => resolve());
      server.kill(signal);
    });
  await start('0');
  const browser = await chromium.launch({
    executablePath: CHROMIUM!,
    args: [
      '--no-sandbox',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      ...flags,
    ],
  });
  const errors: string[] = [];
  return {
    get url() {
      return url;
    },
    browser,
    errors,
    async open(options = {}) {
      const context = await browser.newContext({
        // Colours are looked at when they stand, not on their way from light to dark.
        reducedMotion: 'reduce',
        locale: 'en-GB',
        viewport: { width: 1440, height: 900 },
        serviceWorkers: 'block',
        ...options,
      });
      const page = await context.newPage();
      page.setDefaultTimeout(30_000);
      page.on('pageerror', (error) => errors.push(error.message));
      page.on('console', (message) => {
        if (message.type() === 'error') errors.push(message.text());
      });
      return page;
    },
    kill: () => end('SIGKILL'),
    start: () => start(new URL(url).port),
    async close() {
      await browser.close();
      await end('SIGTERM');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Waits until the exact run of the design in hand is shown. */
export async function exactShown(page: Page): Promise<string> {
  await page.locator('p.progress', { hasText: '200 years, seed 1' }).waitFor();
  return textOf(page, '.verdict h1');
}

/** The text of an element. */
export const textOf = async (page: Page, selector: string): Promise<string> =>
  (await page.locator(selector).textContent())?.trim() ?? '';

/** Keeps a picture of the screen as an artefact when a folder for them is named. */
export async function keepScreen(page: Page, name: string, fullPage = true): Promise<void> {
  if (!PICTURES) return;
  mkdirSync(PICTURES, { recursive: true });
  await page.screenshot({ path: join(PICTURES, `${name}.png`), fullPage });
}

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/** What axe finds against WCAG 2.2 AA, in a line each; nothing when all is well. */
export async function accessFaults(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(`axe.run(document, { runOnly: { type: 'tag', values: ${JSON.stringify(TAGS)} } }).then((r) =>
    r.violations.flatMap((v) => v.nodes.map((n) => v.id + ' ' + n.target.join(' ') + ': ' + n.failureSummary)))`);
}

/** Px by which the page is wider than its window. */
export const overflow_px = (page: Page): Promise<number> =>
  page.evaluate('Math.max(0, document.documentElement.scrollWidth - document.documentElement.clientWidth)');
