import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Listing, Revision, WorkshopStore } from '../../src/app/store-port.ts';
import { openStore } from '../../src/store/index.ts';
import { problemsOf } from '../app/real-ports.ts';
import { now, places, revision } from './places.ts';

const byText = (a: Listing, b: Listing) => {
  const text = (r: Listing) => [r.kind, r.key, String(r.number).padStart(6, '0')].join('\u0000');
  return text(a) < text(b) ? -1 : 1;
};

for (const place of places()) {
  const title = place.absent === undefined ? place.name : `${place.name} (${place.absent})`;
  describe.skipIf(place.absent !== undefined)(`store on ${title}`, () => {
    beforeAll(() => place.start());
    afterAll(() => place.stop());

    const made = async () => {
      const target = await place.fresh();
      return { target, store: await openStore(target, { create: true, now }) };
    };
    /** Runs `work` on a new workshop and closes it. */
    const within = async (work: (store: WorkshopStore, target: string) => Promise<void>) => {
      const { target, store } = await made();
      try {
        await work(store, target);
      } finally {
        await store.close();
      }
    };

    it('is made once and found again; what was saved is there', async () => {
      const { target, store } = await made();
      await store.append([revision('hut', 1)]);
      await store.close();
      const again = await openStore(target, { now });
      expect(await again.everything()).toEqual([revision('hut', 1)]);
      await again.close();
      expect(await problemsOf(() => openStore(target, { create: true, now }))).toMatchObject([
        { code: 'workshop-exists' },
      ]);
    });

    it('tells that there is none, and makes none by looking', async () => {
      const target = await place.fresh();
      for (let i = 0; i < 2; i++)
        expect(await problemsOf(() => openStore(target, { now }))).toMatchObject([{ code: 'no-workshop' }]);
      if (place.name === 'SQLite') expect(existsSync(target)).toBe(false);
    });

    it('gives every text back letter by letter', () =>
      within(async (store) => {
        const texts = [
          '',
          ' ',
          '\ufeffname: x\r\n',
          'it\'s "quoted"; drop table revision; --\n',
          'ü ñ 谷 🌞 \u200d',
          '\\n \\\\ %s $1 ? :x @y',
          'x'.repeat(900_000),
        ];
        const all = texts.map((content, i) =>
          revision(`k${i}`, 1, { content, name: content.slice(0, 50), note: content.slice(0, 9) }),
        );
        expect(await store.append(all)).toEqual({ saved: true });
        expect(await store.everything()).toEqual(all);
      }));

    it('gives every number back bit by bit', () =>
      within(async (store) => {
        const numbers = [0, -0.1, 46.400000000000006, -179.99999999999997, 8848.86, 5e-324, 1 / 3];
        const all = numbers.map((x, i) =>
          revision(`k${i}`, 1, { latitude_deg: x, longitude_deg: -x || 0, elevation_m: x }),
        );
        await store.append(all);
        expect(await store.list()).toEqual(all.map(({ content: _, ...listing }) => listing));
      }));

    it('saves all or none; a stale save is told what stands', () =>
      within(async (store) => {
        await store.append([revision('a', 1), revision('b', 1), revision('b', 2)]);
        const before = await store.everything();
        const outcome = await store.append([revision('a', 2), revision('b', 2, { note: 'late' }), revision('c', 1)]);
        expect(outcome).toMatchObject({ saved: false, stale: [{ key: 'b', number: 2, note: '' }] });
        expect(await store.everything()).toEqual(before);
      }));

    it('refuses a revision that leaves a gap', () =>
      within(async (store) => {
        await store.append([revision('a', 1)]);
        await expect(store.append([revision('a', 3)])).rejects.toThrow(/foreign key/i);
        await expect(store.append([revision('b', 2)])).rejects.toThrow(/foreign key/i);
        await expect(store.append([revision('a', 2, { restores: 2 })])).rejects.toThrow(/check/i);
        expect(await store.everything()).toEqual([revision('a', 1)]);
      }));

    it('lets no program change or delete what was saved', () =>
      within(async (store, target) => {
        await store.append([revision('a', 1), revision('a', 2)]);
        for (const sql of ["update revision set note = 'x'", 'delete from revision where number = 2'])
          await expect(place.raw(target, sql)).rejects.toThrow(/never (changed|deleted)/);
        if (place.name === 'PostgreSQL') await expect(place.raw(target, 'truncate revision')).rejects.toThrow(/never/);
        expect(await store.everything()).toEqual([revision('a', 1), revision('a', 2)]);
      }));

    it('lets one of many win who save from the same revision at once', async () => {
      const { target, store } = await made();
      const others = await Promise.all(Array.from({ length: 7 }, () => openStore(target, { now })));
      const all = [store, ...others];
      for (let number = 1; number <= 25; number++) {
        const outcomes = await Promise.all(
          all.map((each, i) =>
            each.append([revision('a', number, { note: `from ${i}` }), revision(`own-${i}`, number)]),
          ),
        );
        const won = outcomes.flatMap((o, i) => (o.saved ? [i] : []));
        expect(won).toHaveLength(1);
        for (const o of outcomes)
          if (!o.saved) expect(o.stale).toMatchObject([{ key: 'a', number, note: `from ${won[0]}` }]);
        // The winner's second record stands, the losers' do not.
        const own = (await store.list()).filter(({ key }) => key.startsWith('own'));
        expect(own.every((r) => (r.number === number ? r.key === `own-${won[0]}` : r.number < number))).toBe(true);
        for (const i of all.keys()) if (i !== won[0]) await store.append([revision(`own-${i}`, number)]);
      }
      await Promise.all(all.map((each) => each.close()));
    });

    it('agrees with a plain list in memory, whatever is saved', async () => {
      const { store } = await made();
      const model: Revision[] = [];
      const newestOf = (kind: string, key: string) => model.filter((r) => r.kind === kind && r.key === key).at(-1);
      const save = fc.record({
        kind: fc.constantFrom('kit', 'perch', 'net'),
        key: fc.constantFrom('a', 'b', 'c-1', 'ä', 'z.2', '谷'),
        content: fc.option(
          fc.string({ unit: 'binary' }).map((s) => s.replaceAll('\u0000', '')),
          { nil: null },
        ),
        late: fc.nat(2),
      });
      const run = fc.asyncProperty(fc.array(save, { minLength: 1, maxLength: 4 }), async (saves) => {
        const rows: Revision[] = [];
        for (const { kind, key, content, late } of saves) {
          if (rows.some((r) => r.kind === kind && r.key === key)) continue;
          const next = (newestOf(kind, key)?.number ?? 0) + 1;
          rows.push(
            revision(key, Math.max(1, late === 2 ? next - 1 : next), { kind: kind as Revision['kind'], content }),
          );
        }
        const stale = rows.filter((r) => (newestOf(r.kind, r.key)?.number ?? 0) >= r.number);
        const outcome = await store.append(rows);
        expect(outcome.saved).toBe(stale.length === 0);
        if (!outcome.saved)
          expect(outcome.stale.map((r) => r.kind + r.key)).toEqual([...stale].sort(byText).map((r) => r.kind + r.key));
        if (outcome.saved) model.push(...rows);
        const sorted = [...model].sort(byText);
        expect(await store.everything()).toEqual(sorted);
        const heads = sorted.filter((r) => newestOf(r.kind, r.key) === r).map(({ content: _, ...listing }) => listing);
        expect(await store.list()).toEqual(heads);
        expect(await store.list('kit')).toEqual(heads.filter(({ kind }) => kind === 'kit'));
        const { kind, key } = rows[0]!;
        expect(await store.history({ kind, key })).toEqual(sorted.filter((r) => r.kind === kind && r.key === key));
        expect(await store.newest({ kind, key })).toEqual(newestOf(kind, key));
      });
      await fc.assert(run, { seed: 1, numRuns: 120 });
      expect(model.length).toBeGreaterThan(100);
      await store.close();
    });

    it('backs up to a file of its own while others write', () =>
      within(async (store, target) => {
        const file = join(dirname(place.name === 'SQLite' ? target : await tempFile()), 'copy.sunperch');
        for (let i = 1; i <= 40; i++) await store.append([revision('a', i, { content: `${i}`.repeat(5000) })]);
        const writer = await openStore(target, { now });
        const writing = (async () => {
          for (let i = 41; i <= 80; i++) await writer.append([revision('a', i)]);
        })();
        await store.backup(file);
        await writing;
        await writer.close();
        expect(existsSync(`${file}-wal`)).toBe(false);
        const copy = await openStore(file, { now });
        const rows = await copy.everything();
        expect(rows.length).toBeGreaterThanOrEqual(40);
        expect(rows).toEqual((await store.everything()).slice(0, rows.length));
        expect(await copy.check()).toEqual([]);
        expect(await copy.append([revision('b', 1)])).toEqual({ saved: true });
        await copy.close();
        expect(await problemsOf(() => store.backup(file))).toMatchObject([{ code: 'file-exists' }]);
        expect(await problemsOf(() => store.backup(join(dirname(file), 'none', 'x')))).toMatchObject([
          { code: 'no-folder' },
        ]);
        expect(readdirSync(dirname(file)).filter((name) => name.includes('.part'))).toEqual([]);
      }));
  });
}

async function tempFile(): Promise<string> {
  const { mkdtemp } = await import('node:fs/promises');
  const { tmpdir } = await import('node:os');
  const folder = await mkdtemp(join(tmpdir(), 'sunperch-copy-'));
  writeFileSync(join(folder, 'mark'), '');
  return join(folder, 'x');
}
