import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { chromium } from 'playwright-core';
import type { BenchRow } from './rows.ts';

const CHROMIUM = [process.env['CHROMIUM_PATH'], '/usr/bin/chromium'].find((path) => path && existsSync(path));
const median = (values: readonly number[]) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
const MOST = { load_ms: 1500, look_ms: 100, script_kB: 350 } as const;

/** JavaScript that is there before the map is opened, the computing worker included, kB gzipped. */
function script_kB(): number {
  const folder = 'dist/web/assets';
  const first = [...readFileSync('dist/web/index.html', 'utf8').matchAll(/assets\/([\w.-]+\.js)/g)].map(
    ([, name]) => name!,
  );
  const loaded = new Set([...first, ...readdirSync(folder).filter((name) => /^worker.*\.js$/.test(name))]);
  // What is imported without being asked for; `import(…)` comes later.
  for (const name of loaded)
    for (const [, next] of readFileSync(join(folder, name), 'utf8').matchAll(
      /(?:from|import)\s*["']\.\/([\w.-]+\.js)["']/g,
    ))
      loaded.add(next!);
  return [...loaded].reduce((sum, name) => sum + gzipSync(readFileSync(join(folder, name))).length / 1000, 0);
}

/** The pages in a real Chromium on the real server: until they can be used, and from a change to its first look. */
export async function benchWeb(): Promise<BenchRow[]> {
  const size: BenchRow = {
    name: 'JavaScript before the map, gzipped',
    value: script_kB(),
    unit: 'kB',
    ratio: MOST.script_kB / script_kB(),
    against: `of room under ${MOST.script_kB} kB`,
  };
  if (!CHROMIUM) {
    console.error('No Chromium: the pages are not measured');
    return [size];
  }
  const folder = mkdtempSync(join(tmpdir(), 'sunperch-perf-'));
  const server = spawn(process.execPath, [
    ...['bin/sunperch', 'serve', '--demo', '--json', '--port', '0'],
    ...['--workshop', join(folder, 'demo.sunperch')],
  ]);
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: ['--no-sandbox', '--disable-quic'] });
  try {
    const url = await new Promise<string>((resolve, reject) => {
      let text = '';
      server.stdout.on('data', (data: Buffer) => {
        text += data.toString();
        const found = /"url":\s*"([^"]+)"/.exec(text);
        if (found) resolve(found[1]!);
      });
      server.on('exit', (code) => reject(new Error(`the server ended with ${code}`)));
    });
    const loads: number[] = [];
    for (let i = 0; i < 5; i++) {
      const page = await browser.newPage({ serviceWorkers: 'block' });
      const begin = performance.now();
      await page.goto(url, { waitUntil: 'commit' });
      await page.locator('.record').first().waitFor();
      loads.push(performance.now() - begin);
      await page.close();
    }
    const page = await browser.newPage({ locale: 'en-GB', serviceWorkers: 'block' });
    await page.goto(`${url}/#/energy?kit=kit:alder-3&perch=perch:rescue-post`);
    const looksAt = async (label: string, values: readonly number[]) => {
      await page.locator('p.progress', { hasText: '200 years, seed' }).waitFor();
      await page.evaluate('performance.clearMeasures()');
      for (const value of values) {
        const looks = () => page.evaluate<number>('performance.getEntriesByName("first look").length');
        const before = await looks();
        await page.getByLabel(label, { exact: true }).fill(String(value));
        while ((await looks()) === before) await page.waitForTimeout(5);
      }
      const times = await page.evaluate<number[]>('performance.getEntriesByName("first look").map((e) => e.duration)');
      return median(times);
    };
    const rows: BenchRow[] = [];
    for (const [name, label, values] of [
      ['cells', 'cells in parallel', [4, 5, 6, 7, 8, 9, 10, 11, 2]],
      ['charge ceiling', 'charge ceiling', [4.05, 4, 3.95, 3.9, 4.12, 4.15, 4.18, 4.2, 3.85]],
      ['load', 'load, average', [8, 9, 10, 11, 12, 13, 14, 15, 16]],
      ['tilt', 'tilt of the panel', [55, 50, 45, 40, 65, 70, 75, 80, 85]],
      ['panel', 'panel', [3.5, 4, 4.5, 5, 5.5, 6, 6.5, 7, 8]],
    ] as const) {
      const value = await looksAt(label, values);
      rows.push({
        name: `what if, ${name}: change to answer, median`,
        value,
        unit: 'ms',
        ratio: MOST.look_ms / value,
        against: `of room under ${MOST.look_ms} ms`,
      });
    }
    const load = median(loads);
    return [
      size,
      {
        name: 'start page can be used, median of 5',
        value: load,
        unit: 'ms',
        ratio: MOST.load_ms / load,
        against: `of room under ${MOST.load_ms} ms`,
      },
      ...rows,
    ];
  } finally {
    await browser.close();
    server.kill();
    rmSync(folder, { recursive: true, force: true });
  }
}
