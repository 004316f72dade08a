import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { WorkshopStore } from '../../src/app/store-port.ts';
import { removeRecord, undoRecord } from '../../src/app/workshop.ts';
import { exportWorkshop, importWorkshop } from '../../src/app/workshop-folder.ts';
import { saveRecords } from '../../src/app/workshop-save.ts';
import { openStore } from '../../src/store/index.ts';
import { now, places } from '../store/places.ts';
import { problemsOf } from './real-ports.ts';
import { diskInMemory, kitText, overtaken, perchText } from './workshop-places.ts';

const save = (store: WorkshopStore, text: string, rest: { from?: number; note?: string; key?: string } = {}) =>
  saveRecords(store, { now }, [{ text, file: 'x.yaml', ...rest }]);

/** Two kits, a perch that went and came back, one that is gone, awkward names and notes. */
async function fill(store: WorkshopStore): Promise<void> {
  await save(store, kitText('Alder 3', 60), { note: 'first, "of many"; =1+1' });
  await save(store, `\ufeff${kitText('Alder 3', 70)}`.replaceAll('\n', '\r\n'), { from: 1 });
  await save(store, kitText('Ärger & Söhne 谷', 45), { note: ' blanks ' });
  await save(store, perchText('Hut Kaldra'));
  await removeRecord(store, { now }, { kind: 'perch', key: 'hut-kaldra' });
  await undoRecord(store, { now }, { kind: 'perch', key: 'hut-kaldra' });
  await save(store, perchText('Gone', 10));
  await save(store, perchText('Gone for good', 20), { from: 1, key: 'gone' });
  await removeRecord(store, { now }, { kind: 'perch', key: 'gone', note: 'felled' });
}

for (const place of places())
  describe.skipIf(place.absent !== undefined)(
    `export and import on ${place.name}${place.absent ? ` (${place.absent})` : ''}`,
    () => {
      beforeAll(() => place.start());
      afterAll(() => place.stop());
      const stores: WorkshopStore[] = [];
      afterAll(() => Promise.all(stores.map((store) => store.close())).then(() => undefined));
      const fresh = async () => {
        const store = await openStore(await place.fresh(), { create: true, now });
        stores.push(store);
        return store;
      };
      const exported = async () => {
        const store = await fresh();
        await fill(store);
        const ports = diskInMemory();
        await exportWorkshop(ports, store, 'out');
        return { store, ports };
      };

      it('come round: every revision, and every byte of the folder', async () => {
        const { store, ports } = await exported();
        expect([...ports.files.keys()].sort()).toEqual([
          'out/earlier/kits/alder-3/1.yaml',
          'out/earlier/perches/gone/1.yaml',
          'out/earlier/perches/gone/2.yaml',
          'out/earlier/perches/hut-kaldra/1.yaml',
          'out/history.csv',
          'out/kits/alder-3.yaml',
          'out/kits/arger-sohne-谷.yaml',
          'out/perches/hut-kaldra.yaml',
          'out/workshop.json',
        ]);
        const other = await fresh();
        expect(await importWorkshop(ports, other, 'out')).toMatchObject({ added: 9, known: 0, notes: [] });
        expect(await other.everything()).toEqual(await store.everything());
        await exportWorkshop(ports, other, 'again');
        for (const [name, text] of ports.files)
          if (name.startsWith('out/')) expect(ports.files.get(name.replace('out', 'again'))).toBe(text);
        expect(await importWorkshop(ports, store, 'out')).toMatchObject({ added: 0, known: 9 });
      });

      it('come round whatever was saved, undone and removed', async () => {
        const store = await fresh();
        const names = fc.constantFrom('A', 'b c', 'Ü-1', 'x.y', '谷 7');
        const step = fc.record({
          name: names,
          what: fc.constantFrom('save', 'save', 'undo', 'remove', 'to'),
          tilt: fc.nat(90),
          note: fc.string({ maxLength: 20, unit: fc.constantFrom(...'ab ,;"\'=\\é#') }),
        });
        const run = fc.asyncProperty(fc.array(step, { minLength: 1, maxLength: 12 }), async (steps) => {
          for (const { name, what, tilt, note } of steps) {
            const there = (await store.list('kit')).find((r) => r.name === name);
            if (what === 'save' || there === undefined)
              await save(store, kitText(name, tilt), { note, ...(there && { from: there.number }) });
            else if (what === 'remove') await removeRecord(store, { now }, there).catch(() => undefined);
            else
              await undoRecord(
                store,
                { now },
                { ...there, ...(what === 'to' && { to: 1 + (tilt % there.number) }) },
              ).catch(() => undefined);
          }
          const ports = diskInMemory();
          await exportWorkshop(ports, store, 'out');
          const other = await fresh();
          await importWorkshop(ports, other, 'out');
          expect(await other.everything()).toEqual(await store.everything());
        });
        await fc.assert(run, { seed: 1, numRuns: 12 });
        expect((await store.everything()).length).toBeGreaterThan(40);
      });

      it('add what one has more than the other', async () => {
        const { store, ports } = await exported();
        const other = await fresh();
        await importWorkshop(ports, other, 'out');
        await save(store, kitText('Alder 3', 75), { from: 2 });
        await save(store, perchText('New'));
        await exportWorkshop(ports, store, 'later');
        expect(await importWorkshop(ports, other, 'later')).toMatchObject({ added: 2, known: 9 });
        expect(await importWorkshop(ports, other, 'out')).toMatchObject({ added: 0, known: 9 });
        expect(await other.everything()).toEqual(await store.everything());
      });

      it('refuse when the two have gone different ways, whole', async () => {
        const { store, ports } = await exported();
        const other = await fresh();
        await importWorkshop(ports, other, 'out');
        await save(store, kitText('Alder 3', 75), { from: 2 });
        await save(store, perchText('New'));
        await save(other, kitText('Alder 3', 80), { from: 2 });
        await exportWorkshop(ports, store, 'later');
        const before = await other.everything();
        expect(await problemsOf(() => importWorkshop(ports, other, 'later'))).toEqual([
          {
            code: 'histories-differ',
            field: 'kit alder-3',
            message: expect.stringMatching(/^revision 3 .*panel\.tilt_deg: 80 there, 75 here.*nothing was imported/),
          },
        ]);
        expect(await other.everything()).toEqual(before);
        const busy = overtaken(await fresh(), () => importWorkshop(ports, stores.at(-1)!, 'out'));
        expect(await problemsOf(() => importWorkshop(ports, busy, 'out'))).toMatchObject([
          { code: 'workshop-changed' },
        ]);
      });

      it('keep what an older version let pass, and tell it', async () => {
        const { store, ports } = await exported();
        const newest = (await store.newest({ kind: 'kit', key: 'alder-3' }))!;
        await store.append([{ ...newest, number: 3, content: 'name: Alder 3\npanel: { tilt_deg: 200 }\n' }]);
        await exportWorkshop(ports, store, 'old');
        const other = await fresh();
        const { added, notes } = await importWorkshop(ports, other, 'old');
        expect(added).toBe(10);
        expect(notes).toEqual([expect.stringMatching(/^kit alder-3 does not pass the checks of this version: /)]);
        expect(await other.everything()).toEqual(await store.everything());
      });

      const slips: [string, string, (text: string) => string | undefined, string, RegExp][] = [
        ['no folder', 'workshop.json', () => undefined, 'file-unreadable', /no such file/],
        ['another JSON', 'workshop.json', () => '{}', 'no-export', /workshop add/],
        [
          'a newer export',
          'workshop.json',
          (t) => t.replace('"version": 1', '"version": 2'),
          'newer-export',
          /version is 2.*update/,
        ],
        [
          'a line too few',
          'history.csv',
          (t) => t.replace(/\n[^\n]+\n$/, '\n'),
          'damaged-export',
          /8 revisions found, 9 were exported/,
        ],
        [
          'lines exchanged',
          'history.csv',
          (t) => t.replace('kit,alder-3,1', 'kit,alder-3,7'),
          'damaged-export',
          /revision 7 of kit alder-3 follows 0/,
        ],
        [
          'a column renamed',
          'history.csv',
          (t) => t.replace('sha256', 'sum'),
          'damaged-export',
          /column sha256 is missing/,
        ],
        [
          'a path for a key',
          'history.csv',
          (t) => t.replaceAll('kit,alder-3', 'kit,../../etc/x'),
          'damaged-export',
          /key is '\.\.\/\.\.\/etc/,
        ],
        [
          'an unknown kind',
          'history.csv',
          (t) => t.replaceAll('kit,', 'kettle,'),
          'damaged-export',
          /kind is 'kettle': wanted kit, perch, net/,
        ],
        [
          'no time',
          'history.csv',
          (t) => t.replace('2030-01-31T12:00:00.000Z', 'yesterday'),
          'damaged-export',
          /saved_at is 'yesterday'/,
        ],
        ['a file gone', 'kits/alder-3.yaml', () => undefined, 'file-unreadable', /no such file/],
        ['a file edited', 'kits/alder-3.yaml', (t) => t.replace('70', '71'), 'edited-export', /--from 2/],
        [
          'an earlier file edited',
          'earlier/kits/alder-3/1.yaml',
          (t) => t.replace('60', '61'),
          'edited-export',
          /--from 1/,
        ],
      ];
      let empty: Promise<WorkshopStore> | undefined;
      let once: ReturnType<typeof exported> | undefined;
      it.each(slips)('tell %s, and import nothing', async (_, file, change, code, sentence) => {
        once ??= exported();
        const ports = diskInMemory(new Map((await once).ports.files));
        const text = change(ports.files.get(`out/${file}`)!);
        if (text === undefined) ports.files.delete(`out/${file}`);
        else ports.files.set(`out/${file}`, text);
        empty ??= fresh();
        const other = await empty;
        const found = await problemsOf(() => importWorkshop(ports, other, 'out'));
        expect(found[0]).toMatchObject({ code, message: expect.stringMatching(sentence) });
        expect(await other.everything()).toEqual([]);
      });
    },
  );
