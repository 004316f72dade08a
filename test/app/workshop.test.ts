import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { WorkshopStore } from '../../src/app/store-port.ts';
import {
  checkWorkshop,
  listRecords,
  recordHistory,
  removeRecord,
  showRecord,
  undoRecord,
} from '../../src/app/workshop.ts';
import { addFiles, saveRecords } from '../../src/app/workshop-save.ts';
import { openStore } from '../../src/store/index.ts';
import { now, places } from '../store/places.ts';
import { problemsOf } from './real-ports.ts';
import { diskInMemory, kitText, overtaken, perchText } from './workshop-places.ts';

const KIT = { kind: 'kit', key: 'alder-3' } as const;
const save = (store: WorkshopStore, text: string, rest: { from?: number; key?: string; note?: string } = {}) =>
  saveRecords(store, { now }, [{ text, file: 'alder.yaml', ...rest }]);

for (const place of places())
  describe.skipIf(place.absent !== undefined)(
    `workshop on ${place.name}${place.absent ? ` (${place.absent})` : ''}`,
    () => {
      beforeAll(() => place.start());
      afterAll(() => place.stop());
      const within = async (work: (store: WorkshopStore) => Promise<void>) => {
        const store = await openStore(await place.fresh(), { create: true, now });
        try {
          await work(store);
        } finally {
          await store.close();
        }
      };

      it('saves kits, perches and nets under keys from their names', () =>
        within(async (store) => {
          const net =
            'name: Ossel\nmembers: [{ perch: hut-kaldra, kit: alder-3 }, { perch: rescue-post, kit: alder-3 }]\n';
          const ports = diskInMemory(
            new Map([
              ['a.yaml', kitText('Alder 3', 60)],
              ['b.yaml', perchText('Hut Kaldra')],
              ['c.yaml', net],
              ['d.yaml', 'latitude_deg: 46.4\nlongitude_deg: 10.25\nelevation_m: 900\nclimate: { weather: w.csv }\n'],
            ]),
          );
          const outcome = await addFiles(ports, store, { files: [...ports.files.keys()], note: 'first' });
          expect(outcome.saved.map(({ kind, key, name, number }) => [kind, key, name, number])).toEqual([
            ['kit', 'alder-3', 'Alder 3', 1],
            ['perch', 'hut-kaldra', 'Hut Kaldra', 1],
            ['net', 'ossel', 'Ossel', 1],
            ['perch', '46.4-10.25', '46.4, 10.25', 1],
          ]);
          expect(outcome.notes).toEqual([
            'perch 46.4-10.25 names the weather file w.csv, which stays outside the workshop',
            'net ossel names perch rescue-post, which is not in the workshop yet',
          ]);
          const { records } = await listRecords(store, { kind: 'perch' });
          expect(records).toMatchObject([
            {
              key: '46.4-10.25',
              latitude_deg: 46.4,
              longitude_deg: 10.25,
              elevation_m: 900,
              note: 'first',
              savedAt: now(),
            },
            { key: 'hut-kaldra', latitude_deg: 46.4, longitude_deg: 10.2, elevation_m: 1500 },
          ]);
          const again = await addFiles(ports, store, { files: ['a.yaml', 'c.yaml'] });
          expect([again.saved.length, again.unchanged.length]).toEqual([0, 2]);
        }));

      it('saves nothing when one of several files is wrong, and tells all that is', () =>
        within(async (store) => {
          const ports = diskInMemory(
            new Map([
              ['good.yaml', kitText('Good', 60)],
              ['bad.yaml', kitText('Bad', 200, 0)],
              ['odd.yaml', 'colour: red\n'],
            ]),
          );
          const files = [...ports.files.keys(), 'none.yaml'];
          expect(await problemsOf(() => addFiles(ports, store, { files }))).toMatchObject([
            { code: 'file-unreadable' },
          ]);
          expect(await problemsOf(() => addFiles(ports, store, { files: files.slice(0, 3) }))).toMatchObject([
            { field: 'kit.panel.tilt_deg', message: expect.stringContaining('did you mean azimuth_deg') },
            { field: 'kit.cells.count' },
            { code: 'no-record' },
          ]);
          const twice = await problemsOf(() =>
            saveRecords(
              store,
              { now },
              ['x.yaml', 'y.yaml'].map((file) => ({ file, text: kitText('Good', 60) })),
            ),
          );
          expect(twice).toMatchObject([{ code: 'record-twice', message: expect.stringContaining('x.yaml') }]);
          expect((await listRecords(store)).records).toEqual([]);
        }));

      it('does not guess what a changed file was made from', () =>
        within(async (store) => {
          await save(store, kitText('Alder 3', 60));
          expect(await problemsOf(() => save(store, kitText('Alder 3', 70, 3)))).toMatchObject([
            {
              code: 'revision-unsaid',
              message: expect.stringMatching(
                /at revision 1, .*panel\.tilt_deg: 60 there, 70 here; cells\.count: 2 there, 3 here.*--from 1.*--key/,
              ),
            },
          ]);
          expect(await problemsOf(() => save(store, kitText('Alder 3', 60, 2, '# why\n')))).toMatchObject([
            { message: expect.stringContaining('in comments or layout only') },
          ]);
          const { saved } = await save(store, kitText('Alder 3', 70), { from: 1, note: 'steeper' });
          expect(saved).toMatchObject([{ ...KIT, number: 2, note: 'steeper' }]);
          expect((await showRecord(store, KIT)).record.content).toBe(kitText('Alder 3', 70));
          expect((await showRecord(store, KIT, 1)).record.content).toBe(kitText('Alder 3', 60));
        }));

      it('tells a save that came too late field by field, and keeps nothing of it', () =>
        within(async (store) => {
          await save(store, kitText('Alder 3', 60));
          await save(store, kitText('Alder 3', 70, 3, 'enclosure: { solarGain_K: 9 }\n'), { from: 1, note: 'theirs' });
          const found = await problemsOf(() => save(store, kitText('Alder 3', 65, 3), { from: 1 }));
          expect(found).toEqual([
            {
              code: 'stale-save',
              field: 'kit alder-3',
              message: expect.stringMatching(
                /made from revision 1, but revision 2 is the newest \(2030.*"theirs"\): nothing was saved.*--from 2/,
              ),
            },
            {
              code: 'changed-by-both',
              field: 'kit.panel.tilt_deg',
              message: '60 in revision 1, 70 in revision 2; yours: 65',
            },
            {
              code: 'changed-since',
              field: 'kit.cells.count',
              message: '2 in revision 1, 3 in revision 2; yours is the same',
            },
            {
              code: 'changed-since',
              field: 'kit.enclosure',
              message: 'absent in revision 1, {"solarGain_K":9} in revision 2',
            },
          ]);
          expect((await recordHistory(store, KIT)).revisions).toHaveLength(2);
          expect(await problemsOf(() => save(store, kitText('Alder 3', 65), { from: 3 }))).toMatchObject([
            { code: 'no-such-revision', message: expect.stringContaining('the newest of kit alder-3 is 2') },
          ]);
        }));

      it('tells the same when the other was quicker between look and save', () =>
        within(async (store) => {
          await save(store, kitText('Alder 3', 60));
          const slow = overtaken(store, () => save(store, kitText('Alder 3', 70), { from: 1 }));
          expect(await problemsOf(() => save(slow, kitText('Alder 3', 65), { from: 1 }))).toMatchObject([
            { code: 'stale-save' },
            { code: 'changed-by-both', message: '60 in revision 1, 70 in revision 2; yours: 65' },
          ]);
          const undoing = overtaken(store, () => save(store, kitText('Alder 3', 80), { from: 2 }));
          expect(await problemsOf(() => undoRecord(undoing, { now }, KIT))).toMatchObject([
            { code: 'stale-save' },
            { code: 'changed-by-both', message: '70 in revision 2, 80 in revision 3; yours: 60' },
          ]);
          const first = overtaken(store, () => saveRecords(store, { now }, [{ text: perchText('Hut'), file: 'h' }]));
          expect(
            await problemsOf(() => saveRecords(first, { now }, [{ text: perchText('Hut', 45), file: 'mine.yaml' }])),
          ).toMatchObject([
            { code: 'revision-unsaid', message: expect.stringContaining('latitude_deg: 46.4 there, 45 here') },
          ]);
        }));

      it('keeps a record through a change of its name', () =>
        within(async (store) => {
          await save(store, kitText('Alder 3', 60));
          await save(store, kitText('Alder 4', 60), { from: 1, key: 'alder-3' });
          expect((await listRecords(store)).records).toMatchObject([{ key: 'alder-3', name: 'Alder 4', number: 2 }]);
        }));

      it('removes from the lists, not from the history, and brings back', () =>
        within(async (store) => {
          await save(store, kitText('Alder 3', 60));
          await removeRecord(store, { now }, { ...KIT, note: 'sold out' });
          expect((await listRecords(store)).records).toEqual([]);
          expect((await listRecords(store, { removed: true })).records).toMatchObject([
            { number: 2, removed: true, name: 'Alder 3' },
          ]);
          for (const work of [
            () => showRecord(store, KIT),
            () => removeRecord(store, { now }, KIT),
            () => undoRecord(store, { now }, { ...KIT, to: 2 }),
          ])
            expect(await problemsOf(work)).toMatchObject([
              { code: 'removed', message: expect.stringContaining('revision 2') },
            ]);
          expect(await problemsOf(() => save(store, kitText('Alder 3', 70), { from: 1 }))).toMatchObject([
            { code: 'stale-save', message: expect.stringContaining('took the record away') },
          ]);
          const undone = await undoRecord(store, { now }, KIT);
          expect(undone.record).toMatchObject({ number: 3, restores: 1, removed: false });
          await removeRecord(store, { now }, { ...KIT, from: 3 });
          expect((await save(store, kitText('Alder 3', 75))).saved).toMatchObject([{ number: 5 }]);
          expect((await recordHistory(store, KIT)).revisions.map(({ changes }) => changes.length)).toEqual([
            0, 0, 0, 0, 0,
          ]);
          expect(await checkWorkshop(store)).toMatchObject({ records: 1, revisions: 5 });
        }));

      it('undoes step by step to the first, and undoes the undo', () =>
        within(async (store) => {
          for (const [i, tilt] of [60, 65, 70].entries())
            await save(store, kitText('Alder 3', tilt), i === 0 ? {} : { from: i });
          const tilts: unknown[] = [];
          for (let i = 0; i < 2; i++) tilts.push((await undoRecord(store, { now }, KIT)).changes);
          expect(tilts).toEqual([
            [{ field: 'panel.tilt_deg', before: 70, after: 65 }],
            [{ field: 'panel.tilt_deg', before: 65, after: 60 }],
          ]);
          expect(await problemsOf(() => undoRecord(store, { now }, KIT))).toMatchObject([{ code: 'nothing-before' }]);
          const forth = await undoRecord(store, { now }, { ...KIT, to: 3 });
          expect(forth).toMatchObject({ record: { number: 6, restores: 3 }, changes: [{ before: 60, after: 70 }] });
          expect(await problemsOf(() => undoRecord(store, { now }, { ...KIT, to: 9 }))).toMatchObject([
            { code: 'no-such-revision', message: '--to is 9: the revisions are 1 to 6' },
          ]);
          expect(await problemsOf(() => undoRecord(store, { now }, { ...KIT, from: 5 }))).toMatchObject([
            { code: 'stale-save' },
            { code: 'changed-since' },
          ]);
          expect(await problemsOf(() => undoRecord(store, { now }, { kind: 'kit', key: 'alder3' }))).toMatchObject([
            { code: 'no-such-record', message: expect.stringContaining('did you mean alder-3?') },
          ]);
        }));

      it('undoes like a stack of states, whatever was done before', () =>
        within(async (store) => {
          let made = 0;
          const run = fc.asyncProperty(
            fc.array(fc.constantFrom('save', 'undo', 'remove'), { maxLength: 14 }),
            async (steps) => {
              const name = `K${++made}`;
              const id = { kind: 'kit', key: `k${made}` } as const;
              const text = (tilt: number) => kitText(name, tilt);
              await save(store, text(0));
              // The model: what each undo goes back to; null is a removed record.
              const stack: (string | null)[] = [text(0)];
              for (const [i, step] of steps.entries()) {
                const newest = (await store.newest(id))!;
                if (step === 'save') {
                  await save(store, text(i + 1), { from: newest.number });
                  stack.push(text(i + 1));
                } else if (step === 'remove' && stack.at(-1) !== null) {
                  await removeRecord(store, { now }, id);
                  stack.push(null);
                } else if (step === 'undo' && stack.length > 1) {
                  await undoRecord(store, { now }, id);
                  stack.pop();
                } else if (step === 'undo')
                  expect(await problemsOf(() => undoRecord(store, { now }, id))).toMatchObject([
                    { code: 'nothing-before' },
                  ]);
                expect((await store.newest(id))?.content).toBe(stack.at(-1));
              }
            },
          );
          await fc.assert(run, { seed: 1, numRuns: 40 });
        }));

      it('refuses notes and keys that cannot be kept', () =>
        within(async (store) => {
          for (const note of ['two\nlines', 'x'.repeat(501)])
            expect(await problemsOf(() => save(store, kitText('A', 60), { note }))).toMatchObject([
              { code: 'bad-note' },
            ]);
          for (const key of ['', 'Alder 3', '../x', 'a/b', 'a--b', '-a', 'é'.normalize('NFD'), 'x'.repeat(81)])
            expect(await problemsOf(() => save(store, kitText('A', 60), { key }))).toMatchObject([{ code: 'bad-key' }]);
          expect((await save(store, kitText('A\u0000', 60).replace('\\u0000', '\\0'))).saved).toMatchObject([
            { name: 'A ' },
          ]);
        }));
    },
  );
