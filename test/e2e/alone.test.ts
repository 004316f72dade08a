// source: the issue "Pages" (works with no network after the first load; two windows; killed server and restart)
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  accessFaults,
  exactShown,
  keepScreen,
  overflow_px,
  textOf,
  WHY_NOT,
  type Workbench,
  workbench,
} from './workbench.ts';

describe.skipIf(WHY_NOT)(`on a hill without signal, and beside others ${WHY_NOT ?? ''}`, () => {
  let bench: Workbench;
  beforeAll(async () => {
    bench = await workbench();
  }, 60_000);
  afterAll(() => bench.close());

  it('shows and computes what was read before when the server is gone, and saves again when it is back', async () => {
    const page = await bench.open({ serviceWorkers: 'allow' });
    await page.goto(bench.url);
    await page.evaluate('navigator.serviceWorker.ready.then(() => true)');
    // The list and the records are read once more, now through the service worker.
    await page.reload();
    await page.locator('.record .state-word').nth(4).waitFor();
    await page.goto(`${bench.url}/#/energy?kit=kit:alder-3&perch=perch:rescue-post`);
    const said = await exactShown(page);
    await bench.kill();
    await page.reload();
    expect(await exactShown(page)).toBe(said);
    await page.locator('.away').waitFor();
    await page.getByLabel('cells in parallel', { exact: true }).fill('9');
    expect(await exactShown(page)).toMatch(/^Alder 3 at Rescue post stays up/);
    await page.getByRole('button', { name: 'Save the changes' }).click();
    await page.getByText('the workshop does not answer').first().waitFor();
    expect(await overflow_px(page)).toBe(0);
    await bench.start();
    await page.getByRole('button', { name: 'try again' }).click();
    await page.locator('.away').waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Save the changes' }).click();
    await page.getByText('Saved: Alder 3, revision 2.').waitFor();
    // Killed right after it was told as saved: it is there.
    await bench.kill();
    await bench.start();
    const kit = (await (await page.request.get(`${bench.url}/api/records/kit%3Aalder-3`)).json()) as {
      value: { cells: { count: number } };
    };
    expect(kit.value.cells.count).toBe(9);
    await page.context().close();
  }, 180_000);

  it('can be installed', async () => {
    const page = await bench.open();
    await page.goto(bench.url);
    const manifest = (await (await page.request.get(`${bench.url}/manifest.webmanifest`)).json()) as {
      icons: { src: string; type: string; sizes: string }[];
      start_url: string;
      display: string;
    };
    expect(manifest).toMatchObject({ start_url: '/', display: 'standalone' });
    for (const icon of manifest.icons) {
      const answer = await page.request.get(`${bench.url}${icon.src}`);
      expect(answer.status()).toBe(200);
      expect(answer.headers()['content-type']).toContain(icon.type);
    }
    // What Chromium itself finds in the way of installing.
    const session = await page.context().newCDPSession(page);
    const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
    expect(installabilityErrors.map((e) => e.errorId).filter((id) => id !== 'in-incognito')).toEqual([]);
    await page.context().close();
  }, 60_000);

  it('tells the second of two windows what the first has saved, and loses nothing', async () => {
    const [first, second] = [await bench.open(), await bench.open()];
    const open = async (page: typeof first) => {
      await page.goto(`${bench.url}/#/perch/perch:hut-kaldra`);
      await page.locator('h1', { hasText: 'Hut Kaldra is complete' }).waitFor();
    };
    await open(first);
    await open(second);
    const tilt = (page: typeof first) => page.locator('[data-field="perch.tilt_deg"]').getByRole('textbox');
    await tilt(first).fill('55');
    await first.getByRole('button', { name: 'Save', exact: true }).click();
    await first.getByText('Hut Kaldra is saved as revision 2.').waitFor();

    await tilt(second).fill('65');
    await second.getByRole('button', { name: 'Save', exact: true }).click();
    await second.getByText('somebody has saved revision 2 meanwhile').waitFor();
    const row = second.locator('.stale-save tr', { hasText: 'tilt_deg' });
    expect(await row.locator('td').allTextContents()).toEqual(['55', '65']);
    const revisions = async () =>
      (await (await first.request.get(`${bench.url}/api/records/perch%3Ahut-kaldra`)).json()) as {
        revision: number;
        value: { tilt_deg: number };
      };
    expect(await revisions()).toMatchObject({ revision: 2, value: { tilt_deg: 55 } });
    await second.getByRole('button', { name: 'Save mine after theirs' }).click();
    await second.getByText('Hut Kaldra is saved as revision 3.').waitFor();
    expect(await revisions()).toMatchObject({ revision: 3, value: { tilt_deg: 65 } });

    await tilt(first).fill('30');
    await first.getByRole('button', { name: 'Save', exact: true }).click();
    await first.getByRole('button', { name: 'Go on from theirs' }).click();
    await first.locator('h1', { hasText: 'Hut Kaldra is complete' }).waitFor();
    expect(await tilt(first).inputValue()).toBe('65');
    expect(await textOf(first, 'h1')).toMatch(/^Hut Kaldra is complete/);
    // What one had typed is one step back.
    await first.locator('.actions').getByRole('button', { name: 'Undo', exact: true }).click();
    expect(await tilt(first).inputValue()).toBe('30');
    await first.context().close();
    await second.context().close();
  }, 90_000);
});

describe.skipIf(WHY_NOT)(`behind a passphrase ${WHY_NOT ?? ''}`, () => {
  const PASSPHRASE = 'larch beside the upper lake';
  let bench: Workbench;
  beforeAll(async () => {
    bench = await workbench(PASSPHRASE);
  }, 60_000);
  afterAll(() => bench.close());

  it('tells a wrong passphrase, opens with the right one, closes again, and slows down who keeps on trying', async () => {
    const page = await bench.open();
    await page.goto(`${bench.url}/#/energy`);
    const said = page.locator('#passphrase-problems');
    const attempt = async (passphrase: string) => {
      await page.getByLabel('passphrase').fill(passphrase);
      const [answer] = await Promise.all([
        page.waitForResponse((r) => r.url().endsWith('/api/session') && r.request().method() === 'POST'),
        page.getByRole('button', { name: 'Open' }).click(),
      ]);
      return answer.status();
    };
    expect(await attempt('larch beside the lower lake')).toBe(401);
    await said.getByText(/passphrase/).waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await keepScreen(page, 'log-in');
    expect(await attempt(PASSPHRASE)).toBe(200);
    // The page that was asked for is there at once.
    await page.locator('.thing.hand').waitFor();
    await page.goto(`${bench.url}/#/display`);
    await page.getByRole('button', { name: 'Close the session' }).click();
    await page.getByLabel('passphrase').waitFor();
    expect((await page.request.get(`${bench.url}/api/workshop`)).status()).toBe(401);
    // Five tries at once; the sixth has to wait.
    for (let i = 0; i < 5; i++) expect(await attempt(`guess ${i}`)).toBe(401);
    expect(await attempt(PASSPHRASE)).toBe(429);
    await said.getByText(/too many tries: wait \d+ s before the next one/).waitFor();
    await page.context().close();
  }, 60_000);
});
