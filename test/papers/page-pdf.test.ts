import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { pagePdf } from '../../src/papers/index.ts';
import { escapeText, type Page, reportDocument } from '../../src/report/index.ts';
import { sampleOutcome, samplePictures } from '../report/sample.ts';
import { testFonts } from './fonts.ts';
import { hasPoppler, infoOf, structureOf, textIn } from './tools.ts';

const fonts = testFonts();
const created = new Date('2030-02-01T08:30:00Z');
const set = (page: Page, paper: 'A4' | 'letter' = 'A4') => pagePdf(page, { paper, fonts, created, version: '1.2.3' });
const sha = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');
const squeeze = (text: string) => text.replace(/\s+/g, ' ');

const NAME = 'Überhöhte Kiefer mit großem Łański-Häuschen';
const outcome = { ...sampleOutcome(), kit: NAME };
const page = reportDocument({ outcome, pictures: samplePictures(), generatedFrom: ['kit.yaml', 'perch.yaml'] });
const a4 = await set(page);
const bare: Page = { ...page, main: [], aside: [], method: [] };

describe('a report on paper', () => {
  it.runIf(hasPoppler)('says all that the page says, as text', () => {
    const text = textIn(a4);
    expect([...NAME].length).toBeGreaterThan(40);
    for (const said of [
      outcome.verdict,
      outcome.state,
      NAME,
      'Smallest change that holds: panel 4.5 W instead of 3.2 W.',
      'How this was computed',
      'kit.yaml',
      'Clopper & Pearson 1934',
      `${NAME} at Hut Kaldra · 2030-02-01 · sunperch 1.2.3`,
      ...outcome.assumptions.map((a) => a.why),
      ...outcome.cautions.map((c) => c.text),
      ...outcome.changes.map((c) => c.change),
      ...outcome.causes.map((c) => c.removed),
    ])
      expect(text).toContain(squeeze(said));
    for (const page of [1, 2, 3, 4, 5]) expect(text).toMatch(new RegExp(`decide ${page} ?/ ?5`));
    const heads = [...page.main, ...page.aside].flatMap((m) => [...m.matchAll(/<h2[^>]*>([^<]*)</g)].map((h) => h[1]!));
    expect(heads.length).toBe(16);
    for (const head of heads) expect(text).toContain(squeeze(head.replace(/&#39;/g, "'")));
  });

  it.runIf(hasPoppler)('has its paper, title, tags and day', async () => {
    const info = infoOf(a4);
    // ISO 216: 210 mm x 297 mm; US Letter: 8.5 in x 11 in.
    expect(info).toMatch(/Page size:\s+595\.28 x 841\.89 pts \(A4\)/);
    expect(infoOf(await set(bare, 'letter'))).toMatch(/Page size:\s+612 x 792 pts \(letter\)/);
    expect(info).toContain(`Title:           ${NAME} at Hut Kaldra: goes dark`);
    expect(info).toMatch(/Tagged:\s+yes/);
    const structure = structureOf(a4);
    for (const tag of ['H1 (block)', 'H2 (block)', 'Figure', 'Table', 'TR', 'TH', 'TD', 'L (', 'Document'])
      expect(structure).toContain(tag);
  });

  it('has bookmarks and a language, and no font from elsewhere', () => {
    const raw = Buffer.from(a4).toString('latin1');
    expect(raw).toMatch(/\/Lang \(en\)/);
    expect(raw).toMatch(/\/PageMode \/UseOutlines/);
    expect(raw.match(/\/Dest \[/g)?.length).toBe(18);
    expect(raw).not.toMatch(/Helvetica|Times-Roman/);
    expect(raw.match(/\/FontFile2/g)?.length).toBeGreaterThanOrEqual(3);
  });

  it('comes out the same from the same, and not from another day', async () => {
    expect(sha(await set(page))).toBe(sha(a4));
    const other = await pagePdf(bare, {
      paper: 'A4',
      fonts,
      created: new Date('2030-02-02T08:30:00Z'),
      version: '1.2.3',
    });
    expect(sha(other)).not.toBe(sha(await set(bare)));
  });

  it.runIf(hasPoppler)('tells characters that its type lacks, and draws the signs that it uses', async () => {
    const odd = { ...bare, thing: ['Хижина 山小屋'], lead: '5 µA ≤ 8 µA ≠ 9' };
    const bytes = await set(odd);
    const text = textIn(bytes);
    expect(text).toContain('U+0425');
    expect(text).toContain('The HTML page shows them.');
    // The letters below the drawn signs; what they stand for is in the structure.
    expect(text).toMatch(/5 uA ?< ?8 uA ?\/ ?9/);
    expect(
      Buffer.from(bytes)
        .toString('latin1')
        .match(/\/ActualText/g)?.length,
    ).toBe(5);
    expect(textIn(a4)).not.toContain('lacks');
  });

  it('takes names of any kind', async () => {
    const name = `<b>&amp;${'W'.repeat(300)}\u0007\u202e"'`;
    const bytes = await set({
      ...bare,
      title: name,
      thing: [name],
      verdict: name,
      generatedFrom: [name],
      main: [`<section id="n"><h2>${escapeText(name)}</h2><p class="said">${escapeText(name)}</p></section>`],
    });
    expect(Buffer.from(bytes.slice(0, 8)).toString()).toBe('%PDF-1.7');
    if (hasPoppler) expect(textIn(bytes)).toContain('<b>&amp;WWW');
  });
});
