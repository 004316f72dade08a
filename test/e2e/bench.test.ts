// source: the issue "The bench": scanned, ticked and measured on a phone; no connection in the middle (queued, sent once, in
// order); two people at one unit; nothing lost
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page, Route } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeBatch } from './bench-data.ts';
import { filmOf } from './camera.ts';
import { accessFaults, keepScreen, overflow_px, textOf, WHY_NOT, type Workbench, workbench } from './workbench.ts';

interface UnitAnswer {
  readonly history: readonly { readonly what: string; readonly by: string; readonly notedAt: string | null }[];
  readonly unit: { readonly standing: string };
}

describe.skipIf(WHY_NOT)(`at the bench ${WHY_NOT ?? ''}`, () => {
  let bench: Workbench;
  let serials: string[];
  let desk: Page;
  let phone: Page;
  const folder = mkdtempSync(join(tmpdir(), 'sunperch-camera-'));
  const film = join(folder, 'film.y4m');
  const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true };
  beforeAll(async () => {
    // A camera that shows what stands in the file whenever it is opened; whether it may be used is asked as ever.
    const camera = ['--use-fake-device-for-media-stream', `--use-file-for-fake-video-capture=${film}`];
    bench = await workbench(undefined, camera);
    desk = await bench.open({ viewport: { width: 1440, height: 900 } });
    phone = await bench.open(PHONE);
    for (const page of [desk, phone]) page.setDefaultTimeout(6000);
    serials = await makeBatch(desk.request, bench.url);
  }, 60_000);
  afterAll(async () => {
    await bench.close();
    rmSync(folder, { recursive: true, force: true });
  });

  const historyOf = async (serial: string) => {
    const answer = await desk.request.get(`${bench.url}/api/bench/units/${serial}`);
    return (await answer.json()) as UnitAnswer;
  };
  const elsewhere = (body: object) =>
    desk.request.post(`${bench.url}/api/bench/deeds`, {
      data: { by: 'A. Lund', token: `elsewhere-${Date.now()}-${Math.floor(performance.now())}`, ...body },
      headers: { origin: bench.url },
    });

  it('shows the batch: where each unit stands, what wants a hand, quality, stores and orders, wide and on a phone', async () => {
    await desk.goto(`${bench.url}/#/bench/batch/e-07`);
    await desk.locator('h1', { hasText: 'E-07: 16 of 60 are through every gate; 2 are stopped' }).waitFor();
    await desk.locator('.unit-rows li').first().waitFor();
    expect(await desk.locator('#batch-grid .drawn g').count()).toBe(60);
    // Rows are drawn where one looks.
    expect(await desk.locator('.unit-rows li').count()).toBeLessThan(40);
    await desk.locator('[aria-labelledby="units-h"]').getByLabel('state').selectOption('stopped');
    expect(await desk.locator('.unit-rows li').allTextContents()).toEqual([
      expect.stringMatching(`${serials[9]} ?stopped ?failed at Sleep current`),
      expect.stringMatching(`${serials[14]} ?stopped ?failed at Antenna match`),
    ]);
    // The picture names units by the arrow keys.
    await desk.getByRole('slider', { name: 'Values of: At a glance' }).press('ArrowRight');
    expect(await textOf(desk, '#batch-grid .values')).toContain(': ');
    await desk.getByLabel('find').fill('hut kaldra');
    await desk.locator('.hits').getByText('order: 8 for Hut Kaldra').waitFor();
    expect(await accessFaults(desk)).toEqual([]);
    await keepScreen(desk, 'bench-wide');
    await phone.goto(`${bench.url}/#/bench/batch/e-07`);
    await phone.locator('.unit-rows li').first().waitFor();
    for (const [part, shown] of [
      ['Quality', 'passed every gate at once'],
      ['Orders', 'units are waited for, '],
      ['Papers', 'Papers for the EU market'],
      ['Stores', 'Pieces that are free'],
    ] as const) {
      expect(await overflow_px(phone)).toBe(0);
      expect(await accessFaults(phone)).toEqual([]);
      await keepScreen(phone, `bench-phone-before-${part.toLowerCase()}`);
      await phone.getByRole('navigation', { name: 'Parts of the bench' }).getByRole('link', { name: part }).click();
      await phone.getByText(shown).first().waitFor();
    }
    expect(await overflow_px(phone)).toBe(0);
    expect(await accessFaults(phone)).toEqual([]);
  }, 30_000);

  it('opens a unit by a scanner, takes parts, judges while one types, ticks; without a connection it goes on, and sends once and in order', async () => {
    const serial = serials[24]!;
    await phone.getByLabel('signed by').fill('M. Berg');
    // A scanner types into whatever has the focus: the name stays as it was.
    const opened = phone.locator('.step-in-hand h2', { hasText: 'Fit the cells' });
    const scan = async () => {
      await phone.getByLabel('signed by').fill('M. Berg');
      await phone.getByLabel('signed by').focus();
      await phone.keyboard.type(`${serial}\n`, { delay: 2 });
      return opened.waitFor({ timeout: 1500 }).then(
        () => true,
        () => false,
      );
    };
    // A machine that is busy may type as slowly as a hand, which is no scanner: again, then.
    for (let tries = 0; tries < 6 && !(await scan()); tries++);
    await opened.waitFor();
    expect(await phone.getByLabel('signed by').inputValue()).toBe('M. Berg');
    await phone.getByText('Never bridge the cells').waitFor();
    await phone.getByRole('button', { name: 'Take them now' }).click();
    await phone.getByText('3 of e-cells-1').or(phone.getByText('3 of e-cells-2')).first().waitFor();
    const rest = phone.getByRole('textbox', { name: 'Cell voltage, V' });
    await rest.fill('3,2');
    await phone.getByText('fails: it would stop the unit').waitFor();
    await rest.fill('3,62');
    await phone.getByText('● passes').waitFor();
    expect(await accessFaults(phone)).toEqual([]);
    await keepScreen(phone, 'bench-unit-phone');
    await phone.locator('[data-gate="rest"]').getByRole('button', { name: 'Write down' }).click();
    await phone.locator('[data-gate="rest"]').getByText('3.62 V').waitFor();

    await phone.context().setOffline(true);
    await phone.getByRole('button', { name: 'Fit the cells: done' }).click();
    await phone.locator('.step-in-hand h2', { hasText: 'Seat the board' }).waitFor();
    for (const [name, value] of [
      ['Sleep current, µA', '23.5'],
      ['Ceiling, V', '4.1'],
    ] as const) {
      await phone.getByRole('textbox', { name }).fill(value);
      await phone.getByRole('textbox', { name }).press('Enter');
      await phone.locator('.gate-now', { hasText: `${value} ${name.split(', ')[1]}` }).waitFor();
    }
    await phone.getByRole('button', { name: 'Seat the board: done' }).click();
    await phone.getByText('4 records wait to be sent.').waitFor();
    expect(await textOf(phone, 'h1')).toBe(`${serial}: 4 newest states wait to be sent.`);
    expect((await historyOf(serial)).history).toHaveLength(3);
    expect(await accessFaults(phone)).toEqual([]);
    await keepScreen(phone, 'bench-offline-phone');

    // The browser is closed with all of it, and opened again where the workshop answers.
    const kept = await phone.context().storageState();
    await phone.context().close();
    phone = await bench.open({ ...PHONE, storageState: kept });
    phone.setDefaultTimeout(6000);
    await phone.goto(`${bench.url}/#/bench/unit/${serial}`);
    await phone.locator('h1', { hasText: 'next: Screw the antenna on' }).waitFor();
    await phone.locator('.on-the-way').waitFor({ state: 'detached' });
    const { history } = await historyOf(serial);
    expect(history.slice(3).every((row) => row.notedAt !== null)).toBe(true);
    expect(history.slice(3).map((row) => [row.by, row.what])).toEqual([
      ['M. Berg', 'ticked Fit the cells'],
      ['M. Berg', 'measured Sleep current: 23.5 µA, passed'],
      ['M. Berg', 'measured Ceiling: 4.1 V, passed'],
      ['M. Berg', 'ticked Seat the board'],
    ]);
    // A tick is taken back, and both stay in sight.
    await phone.locator('summary', { hasText: 'Steps' }).click();
    await phone.getByRole('button', { name: 'take back' }).click();
    await phone.locator('.history').getByText('took the tick of Seat the board back').waitFor();
    await phone.locator('.step-in-hand h2', { hasText: 'Seat the board' }).waitFor();
  }, 30_000);

  it('tells who came first when the connection is back, keeps the refused record until it is let go, and sends the next', async () => {
    const serial = serials[24]!;
    await phone.context().setOffline(true);
    await phone.getByRole('button', { name: 'Seat the board: done' }).click();
    await phone.getByText('1 record waits to be sent.').waitFor();
    expect((await elsewhere({ deed: 'tick', unit: serial, step: 'board' })).status()).toBe(200);
    await phone.getByRole('button', { name: 'Take them now' }).click();
    await phone.context().setOffline(false);
    const refused = phone.locator('.refused');
    await refused.getByText('A. Lund has ticked Seat the board already').waitFor();
    await phone.getByText('1 of e-antennas-1').waitFor();
    expect(await accessFaults(phone)).toEqual([]);
    // It outlives a reload.
    await phone.reload();
    await phone.locator('.refused').getByText(`Not taken: tick Seat the board, ${serial}`).waitFor();
    await phone.getByRole('button', { name: 'let it go' }).click();
    await phone.locator('.on-the-way').waitFor({ state: 'detached' });
    expect((await historyOf(serial)).history.slice(-2).map((row) => row.what)).toEqual([
      'ticked Seat the board',
      expect.stringMatching(/^fitted 1 × e-antenna/),
    ]);
  }, 30_000);

  it('writes once what the workshop kept when only its answer was lost; what came late has both its times', async () => {
    const serial = serials[26]!;
    await phone.goto(`${bench.url}/#/bench/unit/${serial}`);
    await phone.locator('.step-in-hand').waitFor();
    const loseAnswer = async (route: Route) => {
      await route.fetch();
      await route.abort();
    };
    // It is sent again at once, and that answer is lost as well.
    await phone.route('**/api/bench/deeds', loseAnswer, { times: 2 });
    await phone.getByRole('textbox', { name: 'Cell voltage, V' }).fill('3,61');
    await phone.locator('[data-gate="rest"]').getByRole('button', { name: 'Write down' }).click();
    await phone.getByText('1 record waits to be sent.').waitFor();
    const what = async () => (await historyOf(serial)).history.slice(1).map((row) => row.what);
    expect(await what()).toEqual(['measured Cell voltage: 3.61 V, passed']);
    await phone.evaluate('window.dispatchEvent(new Event("online"))');
    await phone.locator('.on-the-way').waitFor({ state: 'detached' });
    expect(await what()).toHaveLength(1);
    const notedAt = new Date(Date.now() - 90 * 60_000).toISOString();
    expect((await elsewhere({ deed: 'tick', unit: serial, step: 'cells', notedAt })).status()).toBe(200);
    const ahead = new Date(Date.now() + 25 * 3_600_000).toISOString();
    const refused = await elsewhere({ deed: 'untick', unit: serial, step: 'cells', notedAt: ahead });
    expect([refused.status(), await refused.text()]).toEqual([
      422,
      expect.stringContaining('put the clock of the device right'),
    ]);
    await phone.reload();
    await phone
      .locator('.history li', { hasText: 'ticked Fit the cells' })
      .getByText(/^done .+, arrived .+, A. Lund$/)
      .waitFor();
  }, 30_000);

  it('tells both who was first when two people tick a step at the same time', async () => {
    const serial = serials[25]!;
    for (const page of [desk, phone]) await page.goto(`${bench.url}/#/bench/unit/${serial}`);
    await desk.getByLabel('signed by').fill('K. Moor');
    const ticks = [desk, phone].map((page) => page.getByRole('button', { name: 'Fit the cells: done' }));
    for (const tick of ticks) await tick.waitFor();
    await Promise.all(ticks.map((tick) => tick.click()));
    for (const page of [desk, phone]) await page.locator('.step-in-hand h2', { hasText: 'Seat the board' }).waitFor();
    const done = (await historyOf(serial)).history.filter((row) => row.what === 'ticked Fit the cells');
    expect(done).toHaveLength(1);
    const { by } = done[0]!;
    const second = by === 'K. Moor' ? phone : desk;
    await second.locator('.refused').getByText(`${by} has ticked Fit the cells already`).waitFor();
    expect(await (by === 'K. Moor' ? desk : phone).locator('.refused').count()).toBe(0);
    for (const page of [desk, phone]) await page.getByText(`before: Fit the cells, ticked by ${by}`).waitFor();
    await second.getByRole('button', { name: 'understood' }).click();
    await second.locator('.refused').waitFor({ state: 'detached' });
  }, 30_000);

  it('opens a unit by its label before the camera, by our own reader; says why where it cannot, and puts the camera out', async () => {
    // As text: the tests know no page.
    await phone.addInitScript(`
      Object.assign(window, { BarcodeDetector: undefined, opened: [] });
      const open = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
      navigator.mediaDevices.getUserMedia = async (wish) => {
        const stream = await open(wish);
        window.opened.push(stream);
        return stream;
      };
    `);
    const running = () =>
      phone.evaluate('opened.flatMap((s) => s.getTracks()).filter((t) => t.readyState === "live").length');
    const button = phone.getByRole('button', { name: 'Scan with the camera' });
    const said = phone.locator('.camera-said');
    const front = async () => {
      await phone.goto(`${bench.url}/#/bench`);
      await phone.reload();
    };
    writeFileSync(film, filmOf('https://maker.example/parts?no=4711'));
    await front();
    await button.click();
    await said.getByText('The camera was not allowed').waitFor();
    await phone.context().grantPermissions(['camera']);
    await button.click();
    await said.getByText('This code says “https://maker.example/parts?no=4711”: no unit of this workshop').waitFor();
    expect(await running()).toBe(1);
    expect(await overflow_px(phone)).toBe(0);
    expect(await accessFaults(phone)).toEqual([]);
    await keepScreen(phone, 'bench-camera-phone');
    await phone.getByRole('button', { name: 'Close the camera' }).click();
    await button.waitFor();
    await expect.poll(running).toBe(0);
    for (const away of [
      'Object.defineProperty(document, "hidden", { value: true }), document.dispatchEvent(new Event("visibilitychange"))',
      'location.hash = "#/display"',
    ]) {
      await button.click();
      await said.getByText('no unit of this workshop').waitFor();
      await phone.evaluate(away);
      await phone.locator('video').waitFor({ state: 'detached' });
      await expect.poll(running).toBe(0);
    }
    writeFileSync(film, filmOf(`https://maker.example/units/${serials[30]!}`));
    await front();
    await button.click();
    await phone.locator('.thing b', { hasText: serials[30]! }).waitFor();
    await phone.locator('video').waitFor({ state: 'detached' });
    await expect.poll(running).toBe(0);
    rmSync(film);
    await button.click();
    await said.getByText('There is no camera at this device').waitFor();
  }, 30_000);

  it('takes a table after a look at its columns and rows, and gives a page of the unit with what was chosen', async () => {
    await desk.goto(`${bench.url}/#/bench/batch/e-07?part=stores`);
    await desk.getByLabel('signed by').fill('K. Moor');
    await desk.locator('summary', { hasText: 'Read a table from CSV' }).click();
    const text = 'Part no;Description\ne-nut;Nut M5\nBad Key;Nut M4\n';
    const file = { name: 'parts.csv', mimeType: 'text/csv', buffer: Buffer.from(text) };
    await desk.getByLabel('The table (CSV').setInputFiles(file);
    await desk.getByText('Row 3: ').waitFor();
    await desk.getByLabel('Description is read as').waitFor();
    expect(await accessFaults(desk)).toEqual([]);
    await desk.getByRole('button', { name: 'Leave the wrong rows out' }).click();
    await desk.getByRole('button', { name: 'Import 1 row' }).click();
    await desk.getByText('Imported: 1 row of parts.csv.').waitFor();

    await phone.goto(`${bench.url}/#/bench/unit/${serials[0]!}`);
    const log = ['time_s,voltage_V,current_mA', '0,4.1,600', '3600,3.3,600', '7200,2.4,600'].join('\n');
    const dropped = { name: 'log.csv', mimeType: 'text/csv', buffer: Buffer.from(log) };
    await phone.locator('summary', { hasText: 'Logs of measurements' }).click();
    await phone.getByLabel('The log (CSV').setInputFiles(dropped);
    await phone.getByRole('button', { name: 'Keep these values' }).click();
    await phone.getByText('Kept with the unit.').waitFor();
    await phone.locator('summary', { hasText: 'Certificate, labels, passport' }).click();
    await phone.getByLabel('parts and lots').check();
    expect(await accessFaults(phone)).toEqual([]);
    expect(await overflow_px(phone)).toBe(0);
    const saved = phone.waitForEvent('download');
    await phone.getByRole('button', { name: 'Save the passport' }).click();
    expect((await saved).suggestedFilename()).toBe(`passport-${serials[0]!.toLowerCase()}.html`);
    const shown = (await historyOf(serials[0]!)).history.slice(-2).map((row) => row.what);
    expect(shown[0]).toMatch(/^capacity of one cell/);
    expect(shown[1]).toBe('published its passport with kit, gates, lots, care');
  }, 30_000);

  it('stops a unit that fails, says why it may not ship, takes a rework, and keeps a lot back with its units at once', async () => {
    const stopped = serials[9]!;
    await desk.goto(`${bench.url}/#/bench/unit/${stopped.toLowerCase()}`);
    await desk.getByLabel('signed by').fill('K. Moor');
    await desk.locator('.stopped').getByText('Sleep current: 61 µA').waitFor();
    expect(await accessFaults(desk)).toEqual([]);
    await keepScreen(desk, 'bench-stopped-wide');
    await desk.locator('#rework-reason').fill('flux under the radio');
    await desk.getByRole('button', { name: 'Begin the rework' }).click();
    await desk.locator('.step-in-hand h2', { hasText: 'Seat the board' }).waitFor();
    expect((await historyOf(stopped)).history.at(-1)!.what).toContain('began a rework: flux under the radio');

    await desk.goto(`${bench.url}/#/bench/lot/e-cells-1`);
    await desk.locator('summary', { hasText: 'Quarantine it' }).click();
    await desk.getByLabel('reason').fill('two swollen');
    await desk.getByRole('button', { name: 'Quarantine the lot' }).click();
    await desk.locator('h1', { hasText: 'is quarantined: two swollen' }).waitFor();
    await desk.getByText('20 units hold parts of lot e-cells-1: 0 shipped, 20 here.').waitFor();
    expect(await accessFaults(desk)).toEqual([]);
    await keepScreen(desk, 'bench-lot-wide');
    expect((await historyOf(serials[0]!)).unit.standing).toBe('kept back');
  }, 30_000);

  it('says what a unit costs, finds the margin of a price and the price of a margin, tells a slip by its line, notes a paper', async () => {
    await desk.goto(`${bench.url}/#/bench/cost?batch=e-07`);
    await desk.locator('h1', { hasText: 'A good unit of e-07 costs' }).waitFor();
    await desk.getByRole('button', { name: 'put an example in' }).click();
    const price = desk.getByRole('textbox', { name: 'Net price, EUR' });
    const margin = desk.getByRole('textbox', { name: 'Margin after fees' });
    await desk.locator('.cost-price .said', { hasText: 'a margin of 35' }).waitFor();
    const asked = await price.inputValue();
    await price.fill('200');
    await desk.locator('.cost-price .said', { hasText: 'at 200.00 EUR' }).waitFor();
    expect(Number(await margin.inputValue())).toBeGreaterThan(35);
    await margin.fill('35');
    await desk.locator('.cost-price .said', { hasText: `at ${Number(asked).toFixed(2)} EUR` }).waitFor();
    expect(await price.inputValue()).toBe(asked);
    await desk.getByText('Assembled and tested brings most').waitFor();
    const text = desk.locator('#record-text');
    const whole = await text.inputValue();
    await text.fill(whole.replace('batch: 60', 'batch: -60'));
    await desk.getByText('batch is -60: the size of a batch lies between 1 and 100000').waitFor();
    await desk.getByRole('button', { name: 'line 12' }).waitFor();
    await desk.locator('#assumptions').getByRole('button', { name: 'Undo' }).click();
    expect(await text.inputValue()).toBe(whole);
    await desk.locator('#crossover .drawn svg').waitFor();
    const answer = desk.locator('h1');
    const before = await answer.textContent();
    await desk.getByRole('textbox', { name: 'Units lost, %' }).fill('30');
    await expect.poll(() => answer.textContent()).not.toBe(before);
    await desk.locator('aside').getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => answer.textContent()).toBe(before);
    const drawn = desk.locator('.drawn-with');
    const seed = await drawn.textContent();
    await drawn.getByRole('button', { name: 'draw again' }).click();
    await expect.poll(() => drawn.textContent()).not.toBe(seed);
    await desk.locator('#break-even .drawn svg').waitFor();
    expect(await accessFaults(desk)).toEqual([]);
    await keepScreen(desk, 'bench-cost-wide');
    await desk.getByRole('combobox', { name: 'of' }).selectOption('alder-3');
    await desk.locator('h1', { hasText: 'A good unit of alder-3 costs' }).waitFor();

    await desk.goto(`${bench.url}/#/bench/batch/e-07?part=papers`);
    const paper = desk.locator('[data-paper="declaration"]');
    await paper.getByLabel('state').selectOption('there');
    await paper.getByLabel('evidence').fill('DoC-3.pdf');
    await paper.getByRole('button', { name: 'note it: EU declaration' }).click();
    await paper.getByText('there, noted by K. Moor').waitFor();
    expect(
      bench.errors.filter((text) => !/ERR_INTERNET_DISCONNECTED|ERR_FAILED|status of (404|409)/.test(text)),
    ).toEqual([]);
  }, 30_000);
});
