import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoEntries } from '../../src/app/bench/demo.ts';
import type { WorkshopStore } from '../../src/app/store-port.ts';
import { checkWorkshop } from '../../src/app/workshop.ts';
import { exportWorkshop, importWorkshop } from '../../src/app/workshop-folder.ts';
import { saveRecords } from '../../src/app/workshop-save.ts';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { digest } from '../../src/host/folders.ts';
import { type Entry, type NewEntry, readParts, readPlan } from '../../src/records/bench/index.ts';
import { openStore } from '../../src/store/index.ts';
import { now, places } from '../store/places.ts';
import { problemsOf } from './real-ports.ts';
import { diskInMemory, kitText, overtaken } from './workshop-places.ts';

const example = (name: string) =>
  parseYamlRecord(readFileSync(new URL(`../../examples/bench/${name}`, import.meta.url), 'utf8'), name);
const demo = () =>
  demoEntries({ parts: readParts(example('parts.yaml')), plan: readPlan(example('plan-alder-3.yaml')) });
const SECRET = 'c2VjcmV0LW9mLWEtdW5pdA';
const secret = (stream: string): NewEntry => ({
  ...{ stream, at: '2030-01-31T12:00:00Z', by: 'Äsa "the" Maker', token: 'tök-1', corrects: null },
  content: { kind: 'secret-kept', name: 'admin key', value: SECRET },
});
const masked = (entries: readonly Entry[]) =>
  entries.map((e) =>
    e.content.kind === 'secret-kept' ? { ...e, content: { ...e.content, value: expect.any(String) } } : e,
  );
const FILE = 'out/bench/entries.jsonl';
/** A file with every byte, so that nothing on the way takes it for text. */
const REPORT = Uint8Array.from({ length: 300 }, (_, i) => (i < 5 ? '%PDF-'.charCodeAt(i) : i % 256));

for (const place of places())
  describe.skipIf(place.absent !== undefined)(
    `the bench in an exported folder, ${place.name}${place.absent ? ` (${place.absent})` : ''}`,
    () => {
      const stores: WorkshopStore[] = [];
      const ports = diskInMemory();
      let full: WorkshopStore;
      const fresh = async () => {
        const store = await openStore(await place.fresh(), { create: true, now });
        stores.push(store);
        return store;
      };
      beforeAll(async () => {
        await place.start();
        full = await fresh();
        const entries = demo();
        const unit = entries.find((e) => e.content.kind === 'unit-made')!.stream;
        await saveRecords(full, { now }, [{ text: kitText('Alder 3', 60), file: 'x.yaml' }]);
        const sha256 = await full.bench.keepFile(REPORT);
        const evidence: NewEntry = {
          ...{ stream: 'batch:a-07', at: '2030-01-31T12:00:00Z', by: 'M. Öz', token: null, corrects: null },
          content: {
            ...{ kind: 'evidence-kept', paper: 'declaration', name: 'Erklärung.pdf', type: 'application/pdf' },
            ...{ bytes: REPORT.length, sha256 },
          },
        };
        await full.bench.append([...entries, secret(unit), evidence], 0);
        await exportWorkshop(ports, full, 'out');
      }, 120_000);
      afterAll(async () => {
        await Promise.all(stores.map((store) => store.close()));
        place.stop();
      });

      it('comes round, in order, without the keys of units', async () => {
        const there = await full.bench.after(0);
        const secrets = there.filter((e) => e.content.kind === 'secret-kept').length;
        expect([...ports.files.values()].join('')).not.toContain(SECRET);
        expect(ports.files.get(FILE)!.split('\n')).toHaveLength(there.length + 1);
        const other = await fresh();
        const { entriesAdded, entriesKnown, added, notes } = await importWorkshop(ports, other, 'out');
        expect({ entriesAdded, entriesKnown, added }).toEqual({
          entriesAdded: there.length,
          entriesKnown: 0,
          added: 1,
        });
        expect(notes).toEqual([expect.stringMatching(new RegExp(`^${secrets} keys? of units .* not in the folder`))]);
        expect(await other.bench.after(0)).toEqual(masked(there));
        expect(await other.bench.file(digest(REPORT))).toEqual(REPORT);
        expect([...ports.bytes.keys()]).toEqual([`out/bench/evidence/${digest(REPORT)}.pdf`]);
        expect(await checkWorkshop(other)).toMatchObject({ revisions: 1, entries: there.length });
        const again = await exportWorkshop(ports, other, 'again');
        expect(again.notes).toEqual([expect.stringMatching(/withheld/)]);
        for (const [name, text] of ports.files)
          if (name.startsWith('out/')) expect(ports.files.get(name.replace('out', 'again'))).toBe(text);
        // Back into where the keys are: nothing is new, and the keys stay.
        expect(await importWorkshop(ports, full, 'again')).toMatchObject({ entriesAdded: 0, notes: [] });
        expect(JSON.stringify(await full.bench.after(0))).toContain(SECRET);
      });

      it('adds what follows, refuses what went another way, and leaves nothing half done', async () => {
        const all = await full.bench.after(0);
        const other = await fresh();
        const begun = all.slice(0, 100).map(({ seq: _, number: __, ...rest }) => rest);
        await other.bench.append(begun, 0);
        expect(await importWorkshop(ports, other, 'out')).toMatchObject({
          entriesAdded: all.length - 100,
          entriesKnown: 100,
        });
        const astray = await fresh();
        await astray.bench.append([...begun.slice(0, 50), { ...begun[50]!, by: 'somebody else' }], 0);
        expect(await problemsOf(() => importWorkshop(ports, astray, 'out'))).toMatchObject([
          { code: 'histories-differ', message: expect.stringMatching(/^entry 51 of the bench .*nothing was imported/) },
        ]);
        expect(await astray.everything()).toEqual([]);
        // Somebody writes at the bench between the look and the import: the record of the kit is not kept either.
        const raced = await fresh();
        const busy = overtaken(raced, () => raced.bench.append(begun.slice(0, 1), 0));
        expect(await problemsOf(() => importWorkshop(ports, busy, 'out'))).toMatchObject([
          { code: 'workshop-changed' },
        ]);
        expect([await raced.everything(), await raced.bench.head()]).toEqual([[], 1]);
      });

      it.each<[string, Uint8Array | undefined, string]>([
        ['missing', undefined, 'file-unreadable'],
        ['another one', Uint8Array.of(1, 2, 3), 'edited-export'],
      ])('a kept file that is %s lets nothing in', async (_, content, code) => {
        const place = `out/bench/evidence/${digest(REPORT)}.pdf`;
        const damaged = diskInMemory(ports.files, content === undefined ? new Map() : new Map([[place, content]]));
        const empty = await fresh();
        expect(await problemsOf(() => importWorkshop(damaged, empty, 'out'))).toMatchObject([{ code }]);
        expect([await empty.everything(), await empty.bench.head()]).toEqual([[], 0]);
      });

      const line = (change: (line: string) => string) => (text: string) =>
        text.replace(/^.*/, (first) => change(first));
      it.each<[string, (text: string) => string | undefined, string, RegExp]>([
        ['a cut-off line', line((t) => t.slice(0, -9)), 'damaged-export', /no JSON/],
        [
          'a number that leaps',
          line((t) => t.replace('"seq":1', '"seq":2')),
          'damaged-export',
          /entry 2 stands where 1/,
        ],
        [
          'a number of the stream',
          line((t) => t.replace('"number":1', '"number":3')),
          'damaged-export',
          /number 3 of part:/,
        ],
        [
          'another stream',
          line((t) => t.replace('"part:', '"lot:')),
          'damaged-export',
          /part-saved does not belong in lot:/,
        ],
        ['no person', line((t) => t.replace(/"by":"[^"]*"/, '"by":7')), 'damaged-export', /^by: /],
        ['a line too few', (t) => t.replace(/[^\n]*\n$/, ''), 'damaged-export', /entries found/],
        ['another name', line((t) => t.replace(/"by":"[^"]*"/, '"by":"X"')), 'edited-export', /undo the edit/],
        ['no file', () => undefined, 'file-unreadable', /no such file/],
      ])('tells %s, and imports nothing', async (_, change, code, sentence) => {
        const damaged = diskInMemory(new Map(ports.files), ports.bytes);
        const text = change(ports.files.get(FILE)!);
        if (text === undefined) damaged.files.delete(FILE);
        else damaged.files.set(FILE, text);
        const empty = stores[stores.length - 1]!;
        const before = await empty.everything();
        const found = await problemsOf(() => importWorkshop(damaged, empty, 'out'));
        expect(found).toMatchObject([{ code, message: expect.stringMatching(sentence) }]);
        expect(await empty.everything()).toEqual(before);
      });
    },
  );
