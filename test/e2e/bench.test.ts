// source: the issue "The bench": scanned, ticked and measured on a phone; no connection in the middle (queued, sent once, in
// order); two people at one unit; nothing lost
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeBatch } from './bench-data.ts';
import { accessFaults, keepScreen, overflow_px, textOf, WHY_NOT, type Workbench, workbench } from './workbench.ts';

interface UnitAnswer {
  readonly history: readonly { readonly what: string; readonly by: string }[];
  readonly unit: { readonly standing: string };
}

describe.skipIf(WHY_NOT)(`at the bench ${WHY_NOT ?? ''}`, () => {
  let bench: Workbench;
  let serials: string[];
  let desk: Page;
  let phone: Page;
  beforeAll(async () => {
    bench = await workbench();
    desk = await bench.open({ viewport: { width: 1440, height: 900 } });
    phone = await bench.open({ viewport: { width: 390, height: 844 }, hasTouch: true });
    for (const page of [desk, phone]) page.setDefaultTimeout(6000);
    serials = await makeBatch(desk.request, bench.url);
  }, 60_000);
  afterAll(() => bench.close());

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
      ['Orders', 'In the order in which they came'],
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
    await phone.getByLabel('signed by').focus();
    await phone.keyboard.type(`${serial}\n`, { delay: 2 });
    await phone.locator('.step-in-hand h2', { hasText: 'Fit the cells' }).waitFor();
    expect(await phone.getByLabel('signed by').inputValue()).toBe('M. Berg');
    await phone.getByText('Never bridge the cells').waitFor();
    await phone.getByRole('button', { name: 'Take them from the oldest lots' }).click();
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

    await phone.context().setOffline(false);
    await phone.locator('.on-the-way').waitFor({ state: 'detached' });
    const { history } = await historyOf(serial);
    expect(history.slice(3).map((row) => [row.by, row.what])).toEqual([
      ['M. Berg', 'ticked Fit the cells'],
      ['M. Berg', 'measured Sleep current: 23.5 µA, passed'],
      ['M. Berg', 'measured Ceiling: 4.1 V, passed'],
      ['M. Berg', 'ticked Seat the board'],
    ]);
    await phone.locator('h1', { hasText: 'next: Screw the antenna on' }).waitFor();
    // A tick is taken back, and both stay in sight.
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
    await phone.getByRole('button', { name: 'Take them from the oldest lots' }).click();
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
    await phone.getByLabel('The log (CSV').setInputFiles(dropped);
    await phone.getByRole('button', { name: 'Keep these values' }).click();
    await phone.getByText('Kept with the unit.').waitFor();
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
    await desk.locator('h2', { hasText: 'Stopped at Sleep current' }).waitFor();
    expect(await accessFaults(desk)).toEqual([]);
    await keepScreen(desk, 'bench-stopped-wide');
    const rework = desk.locator('details', { hasText: 'Rework it' });
    await rework.getByLabel('reason').fill('flux under the radio');
    await rework.getByRole('button', { name: 'Begin the rework' }).click();
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
    await desk.getByRole('button', { name: 'Undo' }).click();
    expect(await text.inputValue()).toBe(whole);
    await desk.locator('#crossover .drawn svg').waitFor();
    expect(await accessFaults(desk)).toEqual([]);
    await keepScreen(desk, 'bench-cost-wide');

    await desk.goto(`${bench.url}/#/bench/batch/e-07?part=papers`);
    const paper = desk.locator('[data-paper="declaration"]');
    await paper.getByLabel('state').selectOption('there');
    await paper.getByLabel('evidence').fill('DoC-3.pdf');
    await paper.getByRole('button', { name: 'note it: EU declaration' }).click();
    await paper.getByText('there, noted by K. Moor').waitFor();
    expect(bench.errors.filter((text) => !/ERR_INTERNET_DISCONNECTED|status of (404|409)/.test(text))).toEqual([]);
  }, 30_000);
});
