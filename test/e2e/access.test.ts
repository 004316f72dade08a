// source: WCAG 2.2 AA as axe-core checks it; widths of 390 and 1440 px from the task
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessFaults, exactShown, keepScreen, overflow_px, WHY_NOT, type Workbench, workbench } from './workbench.ts';

const PAGES: readonly (readonly [name: string, address: string])[] = [
  ['start', '#/'],
  ['energy', '#/energy?kit=kit:alder-3&perch=perch:rescue-post'],
  ['kit', '#/kit/kit:alder-3'],
  ['perch', '#/perch/perch:hut-kaldra'],
  ['new-kit', '#/kit/new'],
  ['new-perch', '#/perch/new'],
  ['display', '#/display'],
  ['nowhere', '#/nowhere'],
];
const SIZES = [
  ['wide', 1440, 900],
  ['phone', 390, 844],
] as const;

describe.skipIf(WHY_NOT)(`every page, light and dark, wide and on a phone ${WHY_NOT ?? ''}`, () => {
  let bench: Workbench;
  beforeAll(async () => {
    bench = await workbench();
  }, 60_000);
  afterAll(() => bench.close());

  it.each(SIZES)(
    '%s, light and dark',
    async (size, width, height) => {
      const page = await bench.open({ viewport: { width, height } });
      for (const [name, address] of PAGES) {
        await page.emulateMedia({ colorScheme: 'light' });
        await page.goto(`${bench.url}/${address}`);
        await page.locator('h1').first().waitFor();
        if (name === 'start') await page.locator('.record .state-word').first().waitFor();
        if (name === 'energy') await exactShown(page);
        // The same page in both: what it shows was computed once.
        for (const colorScheme of ['light', 'dark'] as const) {
          await page.emulateMedia({ colorScheme });
          expect(await accessFaults(page), `${name} ${size} ${colorScheme}`).toEqual([]);
          expect(await overflow_px(page), `${name} ${size} is wider than its window`).toBe(0);
          await keepScreen(page, `${name}-${size}-${colorScheme}`);
        }
      }
      await page.context().close();
    },
    120_000,
  );

  it('works by the keyboard alone: to a perch, to a slider, a change, undo', async () => {
    const page = await bench.open();
    await page.goto(`${bench.url}/#/`);
    await page.locator('.record').first().waitFor();
    const focused = () => page.evaluate<string>('document.activeElement?.textContent?.trim() ?? ""');
    await page.keyboard.press('Tab');
    expect(await focused()).toBe('To the content');
    const tabTo = async (reached: () => Promise<boolean>, most = 60) => {
      for (let i = 0; i < most; i++) {
        if (await reached()) return;
        await page.keyboard.press('Tab');
      }
      throw new Error(`not reached; the focus is on ${await focused()}`);
    };
    await tabTo(async () => (await focused()) === 'Rescue post');
    await page.keyboard.press('Enter');
    const before = await exactShown(page);
    expect(before).toMatch(/^Alder 3 at Rescue post goes dark/);
    const label = () => page.evaluate<string>('document.activeElement?.getAttribute("aria-label") ?? ""');
    await tabTo(async () => (await label()) === 'cells in parallel, slider');
    for (let i = 0; i < 6; i++) await page.keyboard.press('ArrowRight');
    const after = await exactShown(page);
    expect(after).toMatch(/^Alder 3 at Rescue post stays up/);
    await tabTo(async () => (await focused()) === 'Undo');
    await page.keyboard.press('Enter');
    expect(await exactShown(page)).not.toBe(after);
    // The focus is seen: an outline of at least two pixels.
    const outline = await page.evaluate<string>('getComputedStyle(document.activeElement).outline');
    expect(outline).toMatch(/[2-9]px/);
    await tabTo(async () => (await label()).startsWith('Values of: State of charge'), 80);
    await page.keyboard.press('ArrowRight');
    expect(await page.evaluate<string>('document.activeElement.getAttribute("aria-valuetext")')).toMatch(
      /half of the years above \d+ %/,
    );
    await page.context().close();
  }, 120_000);

  it('has logged no error, and nothing was against the policy of the server', () => {
    expect(bench.errors).toEqual([]);
  });
});
