// source: the acceptance of the issue "Pages": a newcomer's story, wrong input shown at the field, undo of every act
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { exactShown, keepScreen, textOf, WHY_NOT, type Workbench, workbench } from './workbench.ts';

/** What stands in the fields, in the browser. */
const VALUES = (fields: readonly unknown[]) => fields.map((f) => (f as { readonly value: string }).value);

describe.skipIf(WHY_NOT)(`a newcomer at the workbench ${WHY_NOT ?? ''}`, () => {
  let bench: Workbench;
  beforeAll(async () => {
    bench = await workbench();
  }, 60_000);
  afterAll(() => bench.close());

  it('opens the demo, makes a kit and a perch, sees the verdict, changes the tilt, saves, takes the report along', async () => {
    const page = await bench.open({ acceptDownloads: true });
    await page.goto(bench.url);
    await page.locator('h1', { hasText: /Alder 3 stays up at \d+ of \d+ perches/ }).waitFor();
    const { records } = (await (await page.request.get(`${bench.url}/api/workshop`)).json()) as {
      records: { kind: string }[];
    };
    expect(await page.locator('.record').count()).toBe(records.filter((r) => r.kind !== 'net').length);

    await page.getByRole('link', { name: 'new kit' }).click();
    await page.getByLabel('name').fill('Birch 1');
    await page.getByLabel('cells in parallel').fill('2');
    await page.getByRole('button', { name: 'Make the kit' }).click();
    await page.locator('h1', { hasText: 'Birch 1 is complete' }).waitFor();

    await page.getByRole('link', { name: 'Sunperch' }).click();
    await page.getByRole('link', { name: 'new perch' }).click();
    await page.getByLabel('name').fill('Alp Ossel');
    await page.getByLabel('latitude').fill('246.4');
    await page.getByLabel('longitude').fill('10.25');
    await page.getByLabel('height above the sea').fill('1,900');
    await page.getByRole('button', { name: 'Make the perch' }).click();
    const latitude = page.locator('[data-field="latitude_deg"]');
    await latitude.getByText('latitude is 246.4: a latitude lies between -90 and 90').waitFor();
    expect(await page.getByLabel('latitude').getAttribute('aria-invalid')).toBe('true');
    expect(await page.evaluate<string>('document.activeElement.id')).toBe('new-latitude_deg');
    await page.getByLabel('latitude').fill('46.41');
    await page.getByRole('button', { name: 'Make the perch' }).click();
    await page.locator('h1', { hasText: 'Alp Ossel is complete' }).waitFor();
    expect(await page.getByLabel('height above the sea').inputValue()).toBe('1900');

    await page.getByRole('link', { name: 'its winter' }).click();
    await page.getByLabel('kit', { exact: true }).selectOption({ label: 'Birch 1' });
    const first = await exactShown(page);
    expect(first).toMatch(/^Birch 1 at Alp Ossel (stays up|is on the edge|goes dark|on the edge)/);
    await keepScreen(page, 'story-first');

    await page.getByLabel('tilt of the panel', { exact: true }).fill('20');
    await page.getByText('was 61').waitFor();
    const flat = await exactShown(page);
    expect(flat).not.toBe(first);
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    expect(await exactShown(page)).toBe(first);
    await page.getByRole('button', { name: 'Redo' }).click();
    expect(await exactShown(page)).toBe(flat);
    await page.getByRole('button', { name: 'As saved' }).click();
    await page.getByLabel('tilt of the panel', { exact: true }).fill('75');
    await exactShown(page);
    await page.getByRole('button', { name: 'Save the changes' }).click();
    await page.getByText('Saved: Alp Ossel, revision 2.').waitFor();
    await exactShown(page);
    const stored = (await (await page.request.get(`${bench.url}/api/records/perch%3Aalp-ossel`)).json()) as {
      revision: number;
      value: { tilt_deg: number };
      text: string;
    };
    expect(stored).toMatchObject({ revision: 2, value: { tilt_deg: 75 } });
    expect(stored.text).toContain('# of the panel: 0 lies flat, 90 is upright');

    const [report] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save the report' }).click(),
    ]);
    expect(report.suggestedFilename()).toBe('birch-1-at-alp-ossel.html');
    const html = readFileSync((await report.path())!, 'utf8');
    expect(html).toContain('Birch 1 at Alp Ossel');
    expect(html).toContain('data:font/woff2;base64,');
    await page.getByLabel('paper of the PDF').selectOption('A4');
    const [pdf] = await Promise.all([
      page.waitForEvent('download', { timeout: 60_000 }),
      page.getByRole('button', { name: 'Save as PDF' }).click(),
    ]);
    expect(pdf.suggestedFilename()).toBe('birch-1-at-alp-ossel.pdf');
    expect(readFileSync((await pdf.path())!, 'latin1')).toMatch(/^%PDF-1\.7[\s\S]*\/MediaBox \[0 0 595\.28 841\.89\]/);
    await page.context().close();
  }, 180_000);

  it('shows the winter within a breath of a change, and the same figures as the command line', async () => {
    const page = await bench.open();
    await page.goto(`${bench.url}/#/energy?kit=kit:alder-3&perch=perch:rescue-post`);
    await exactShown(page);
    await page.getByRole('button', { name: 'Try it', exact: true }).click();
    await page.locator('p.progress', { hasText: 'First look' }).waitFor();
    expect(await exactShown(page)).toMatch(/^Alder 3 at Rescue post stays up/);
    expect(await textOf(page, '.hand .state-word')).toContain('stays up');
    await page.getByRole('button', { name: 'As saved' }).click();
    const said = await exactShown(page);
    const { year } = await import('../../src/app/year.ts');
    const { outcome } = await year(
      {
        readText: async (path) => readFileSync(path, 'utf8'),
        readWeather: () => Promise.reject(new Error('no weather file is named')),
        progress: () => undefined,
        runTasks: () => Promise.reject(new Error('a year runs no tasks')),
      },
      { kit: 'examples/alder-3.yaml', perch: 'examples/rescue-post.yaml' },
    );
    expect(said).toBe(outcome.verdict);
    await page.context().close();
  }, 120_000);

  it('tells wrong numbers at the control and at the field, and computes nothing from them', async () => {
    const page = await bench.open();
    await page.goto(`${bench.url}/#/energy?kit=kit:alder-3&perch=perch:hut-kaldra`);
    const said = await exactShown(page);
    await page.getByLabel('cells in parallel', { exact: true }).fill('two');
    await page.getByText('count is the text "two": wanted a number alone').waitFor();
    await page.getByLabel('cells in parallel', { exact: true }).fill('0');
    await page.getByText('count is 0: the number of cells in parallel lies between 1 and 1000').waitFor();
    expect(await page.getByLabel('cells in parallel', { exact: true }).getAttribute('aria-invalid')).toBe('true');
    expect(await textOf(page, '.verdict h1')).toBe(said);
    await page.getByRole('button', { name: 'As saved' }).click();
    expect(await exactShown(page)).toBe(said);

    await page.goto(`${bench.url}/#/kit/kit:alder-3`);
    await page.locator('[data-field="kit.cutoff.cutoff_V"]').getByRole('textbox').fill('3.7');
    await page
      .locator('[data-field="kit.cutoff.reconnect_V"]')
      .getByText('reconnect_V is 3.6, below cutoff_V 3.7')
      .waitFor();
    await page.locator('h1', { hasText: /to be mended/ }).waitFor();
    expect(await page.getByRole('button', { name: 'Save', exact: true }).isDisabled()).toBe(true);
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    await page.locator('h1', { hasText: 'Alder 3 is complete' }).waitFor();

    await page.getByRole('button', { name: 'Text', exact: true }).click();
    const text = page.locator('#record-text');
    const before = await text.inputValue();
    await text.fill(before.replace('count: 3', 'count: 3\n  colour: red'));
    await page.getByText('colour is no key of cells').waitFor();
    await page.getByRole('button', { name: /^line \d+$/ }).click();
    const picked = await page.evaluate<string>(
      'document.activeElement.value.slice(document.activeElement.selectionStart, document.activeElement.selectionEnd)',
    );
    expect(picked).toBe('colour: red');
    await text.fill(`${before}\n\tbroken`);
    await page.locator('.problems').first().waitFor();
    await page.getByRole('button', { name: 'Back to what is saved' }).click();
    await page.locator('h1', { hasText: 'Alder 3 is complete' }).waitFor();
    await page.context().close();
  }, 120_000);

  it('edits by form without losing a comment, saves, undoes the save, takes a record out and puts it back', async () => {
    const page = await bench.open();
    await page.goto(`${bench.url}/#/perch/perch:tarnwick-shed`);
    await page.locator('h1', { hasText: 'Tarnwick shed is complete' }).waitFor();
    const before = (await (await page.request.get(`${bench.url}/api/records/perch%3Atarnwick-shed`)).json()) as {
      text: string;
    };
    await page.locator('[data-field="perch.soiling_pct"]').getByRole('button', { name: 'twelve values' }).click();
    await page.getByLabel('loss by dirt, July').fill('6');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Tarnwick shed is saved as revision 2.').waitFor();
    const after = (await (await page.request.get(`${bench.url}/api/records/perch%3Atarnwick-shed`)).json()) as {
      text: string;
      value: { soiling_pct: number[] };
    };
    expect(after.value.soiling_pct).toEqual([2, 2, 2, 2, 2, 2, 6, 2, 2, 2, 2, 2]);
    for (const comment of before.text.match(/^#.*$/gm) ?? []) expect(after.text).toContain(comment);
    await page.locator('.news').getByRole('button', { name: 'Undo' }).click();
    await page.getByText('revision 3').first().waitFor();
    const undone = (await (await page.request.get(`${bench.url}/api/records/perch%3Atarnwick-shed`)).json()) as {
      text: string;
    };
    expect(parseYamlRecord(undone.text, 'undone').value).toEqual(parseYamlRecord(before.text, 'before').value);

    await page.getByRole('button', { name: 'take it out of the workshop' }).click();
    await page.getByText('Tarnwick shed was taken out of the workshop.').waitFor();
    await page.locator('.record').first().waitFor();
    expect(await page.locator('.record .name', { hasText: 'Tarnwick shed' }).count()).toBe(0);
    await page.getByRole('button', { name: 'Put it back' }).click();
    await page.locator('.record .name', { hasText: 'Tarnwick shed' }).waitFor();
    await page.context().close();
  }, 120_000);

  it('draws the map of panel and cells, takes a design from it, compares, and saves pictures', async () => {
    const page = await bench.open({ acceptDownloads: true });
    await page.goto(`${bench.url}/#/energy?kit=kit:alder-3&perch=perch:rescue-post`);
    await exactShown(page);
    await page.getByRole('button', { name: 'Keep to compare' }).click();
    await page.getByRole('button', { name: 'Draw the map' }).click();
    const picks = page.locator('#frontier .reader');
    await picks.waitFor({ timeout: 90_000 });
    await page.locator('#frontier').getByRole('button', { name: /^try / }).first().click();
    const proven = await exactShown(page);
    expect(proven).toMatch(/stays up|on the edge/);
    await page.getByRole('button', { name: 'Keep to compare' }).click();
    await page.locator('#compare').getByText('Fewest dark winters: B').waitFor();
    expect(await page.locator('#compare .drawn svg').count()).toBe(2);
    // Values by the arrow keys in every picture, said as well as shown.
    for (const id of ['strip', 'fan', 'harvest', 'ageing', 'carpet', 'sunpath', 'spells', 'frontier']) {
      const reader = page.locator(`#${id} .reader`);
      await reader.press('ArrowRight');
      const told = (await reader.getAttribute('aria-valuetext')) ?? '';
      expect(told, id).toMatch(/\d/);
      expect(await textOf(page, `#${id} .values`), id).toBe(told);
    }
    const [table] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'save as CSV: designs side by side' }).click(),
    ]);
    const columns = readFileSync((await table.path())!, 'utf8').split('\n');
    expect(columns[0]).toBe('variant,A,B');
    expect(columns.find((line) => line.startsWith('state,'))).toMatch(/^state,goes dark,/);
    // A place well inside the map: few cells, little panel.
    const box = (await picks.boundingBox())!;
    await picks.click({ position: { x: box.width * 0.2, y: 200 } });
    await page.locator('p.progress', { hasText: 'First look' }).waitFor();
    expect(await exactShown(page)).not.toBe(proven);
    await page.locator('#compare').getByRole('button', { name: 'take it: A' }).click();
    expect(await exactShown(page)).toMatch(/goes dark/);
    await keepScreen(page, 'story-compare');
    for (const kind of ['SVG', 'PNG', 'CSV']) {
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page
          .locator('#fan')
          .getByRole('button', { name: new RegExp(`as ${kind}$`) })
          .click(),
      ]);
      const bytes = readFileSync((await file.path())!);
      if (kind === 'SVG') expect(bytes.toString()).toMatch(/^<svg [\s\S]*<\/svg>$/);
      if (kind === 'PNG') expect(bytes.subarray(1, 4).toString()).toBe('PNG');
      if (kind === 'CSV') expect(bytes.toString().split('\n')).toHaveLength(367);
    }
    await page.context().close();
  }, 180_000);

  it('shows feet and Fahrenheit on request and stores metres', async () => {
    const page = await bench.open();
    await page.goto(`${bench.url}/#/display`);
    await page.getByLabel('feet, inches, miles an hour').check();
    await page.getByLabel('°F').check();
    await page.locator('h1', { hasText: 'A hut at 7,021 ft and 20.3 °F.' }).waitFor();
    await page.goto(`${bench.url}/#/perch/perch:hut-kaldra`);
    const height = page.getByLabel('height above the sea');
    const metres = (
      parseYamlRecord(readFileSync('examples/hut-kaldra.yaml', 'utf8'), 'hut').value as { elevation_m: number }
    ).elevation_m;
    expect(Number(await height.inputValue())).toBe(Number((metres / 0.3048).toPrecision(5)));
    await height.fill('7000');
    await page.getByRole('button', { name: 'Text', exact: true }).click();
    expect(await page.locator('#record-text').inputValue()).toContain('elevation_m: 2133.6');
    await page.context().close();
  }, 60_000);

  it('edits lists in the form: panels, states, points of the skyline; each act is one step back', async () => {
    const page = await bench.open();
    await page.goto(`${bench.url}/#/kit/kit:alder-3`);
    await page.locator('h1', { hasText: /^Alder 3 is complete/ }).waitFor();
    const undo = page.locator('.actions').getByRole('button', { name: 'Undo', exact: true });
    const states = () => page.getByRole('textbox', { name: /^state of / }).evaluateAll(VALUES);
    const before = await states();
    await page.getByRole('button', { name: 'move Clock reference up' }).click();
    expect((await states()).slice(0, 2)).toEqual(['Clock reference', 'Receiver']);
    await page.getByRole('button', { name: 'take away Air sensor' }).click();
    await page.getByRole('button', { name: 'add a state' }).click();
    await page.getByLabel(`current, mA of State ${before.length}`).fill('-3');
    await page.locator('.at-row').getByText('current_mA is -3: a current lies between 0 and 20000').waitFor();
    for (let i = 0; i < 4; i++) await undo.click();
    expect(await states()).toEqual(before);
    await page.getByRole('button', { name: 'add a panel like this one' }).click();
    await page.getByRole('heading', { name: 'Panel 2' }).waitFor();
    await page.locator('[data-field="kit.panel[1].voc_V"]').getByRole('textbox').fill('-1');
    await page.locator('[data-field="kit.panel[1].voc_V"] .problems').waitFor();
    // An edit that is left waits, with its way back.
    await page.goto(`${bench.url}/#/perch/perch:rescue-post`);
    await page.getByRole('button', { name: 'move point 2 up' }).click();
    expect(await page.getByLabel('direction of point 1').inputValue()).toBe('60');
    await page.getByRole('button', { name: 'sort by direction' }).click();
    expect(await page.getByLabel('direction of point 1').inputValue()).toBe('0');
    await page.goto(`${bench.url}/#/kit/kit:alder-3`);
    await page.getByRole('heading', { name: 'Panel 2' }).waitFor();
    await undo.click();
    await page.locator('h1', { hasText: 'Alder 3 is complete' }).waitFor();
    await page.context().close();
  }, 60_000);

  it('has logged no error', () => {
    expect(bench.errors).toEqual([]);
  });
});
