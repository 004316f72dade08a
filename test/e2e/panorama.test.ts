// source: issue 4, "The panorama is live": mast, panel and day change one picture; sweeps are dropped as files
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessFaults, keepScreen, overflow_px, textOf, WHY_NOT, type Workbench, workbench } from './workbench.ts';

describe.skipIf(WHY_NOT)(`the panorama and the sweeps ${WHY_NOT ?? ''}`, () => {
  let bench: Workbench;
  beforeAll(async () => {
    bench = await workbench();
  }, 60_000);
  afterAll(() => bench.close());

  it('follows mast, panel and day, chooses a bearing, undoes, and gives what was tried to the perch; sweeps are judged', async () => {
    const page = await bench.open({ acceptDownloads: true });
    await page.goto(`${bench.url}/#/reach?kit=kit:alder-3&perch=perch:hut-kaldra`);
    const panorama = page.locator('#panorama');
    await panorama.locator('svg').first().waitFor();
    await panorama.locator('.told', { hasText: 'kWh/m² a day reach the panel, as it stands now.' }).waitFor();
    const said = () => textOf(page, '#panorama > .said');
    // The links come last.
    await panorama
      .getByText(/other perches \d+ in clear sight/)
      .first()
      .waitFor();
    const before = await said();
    const drawn = () => panorama.locator('.drawn').innerHTML();
    const first = await drawn();

    const mast = panorama.getByLabel('height of the antenna', { exact: true });
    await mast.fill('40');
    await expect.poll(drawn).not.toBe(first);
    await panorama.getByLabel('panel looks towards', { exact: true }).fill('0');
    await panorama.locator('.told', { hasText: /as it stands now: \d+ % less/ }).waitFor();
    await panorama.getByLabel('tilt of the panel', { exact: true }).fill('100');
    await panorama.getByText('the tilt of the panel is 100: it lies between 0 and 90 °').waitFor();
    await panorama.getByRole('button', { name: '21 Jun' }).click();
    await panorama.locator('.told', { hasText: /^On 21 Jun the sun is up 15\.\d h/ }).waitFor();
    await keepScreen(page, 'panorama');

    const bearing = panorama.getByRole('slider', { name: 'Bearing in the panorama' });
    await bearing.focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    expect(await bearing.getAttribute('aria-valuenow')).toBe('181');
    expect(await bearing.getAttribute('aria-valuetext')).toMatch(/^S 181°: skyline [\d.−]+°/);

    for (let i = 0; i < 3; i++) await panorama.getByRole('button', { name: 'Undo', exact: true }).click();
    await expect.poll(said).toBe(before);
    await mast.fill('12');
    await panorama.getByRole('button', { name: 'Keep these in the perch' }).click();
    await page.locator('.hand', { hasText: 'with changes that are not saved' }).waitFor();
    await page.locator('.news').getByRole('button', { name: 'Undo' }).click();
    await page.locator('.hand', { hasText: 'revisions 1 and 1' }).waitFor();

    const sweeps = page.locator('#sweeps');
    await sweeps.locator('input[type=file]').setInputFiles(
      [
        { name: 'ant_ri.s1p', text: readFileSync('test/golden/ant_ri.s1p', 'utf8') },
        { name: 'bad.s1p', text: '# MHz S RI R 50\n868 nought 1\n' },
      ].map(({ name, text }) => ({ name, mimeType: 'text/plain', buffer: Buffer.from(text) })),
    );
    await sweeps.locator('.said', { hasText: 'ant_ri.s1p is best matched at 892 MHz' }).first().waitFor();
    expect(await sweeps.locator('.problems').first().textContent()).toMatch(/bad\.s1p.*line 2|line 2.*bad\.s1p/);
    await sweeps.getByRole('button', { name: 'use for Alder 3: the match of ant_ri.s1p' }).click();
    await page.getByText(/Alder 3: standing-wave ratio 1\.\d+ at 869\.525 MHz/).waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await page.setViewportSize({ width: 390, height: 844 });
    await expect.poll(() => overflow_px(page)).toBe(0);
    await keepScreen(page, 'panorama-390');
    expect(bench.errors).toEqual([]);
    await page.context().close();
  }, 60_000);
});
