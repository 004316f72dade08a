import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { expect, it } from 'vitest';
import { demoEntries } from '../../../src/app/bench/demo.ts';
import { batchLook } from '../../../src/app/bench/looks.ts';
import { emptyBench, fold } from '../../../src/app/bench/state.ts';
import { recall } from '../../../src/app/bench/stores.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { readParts, readPlan } from '../../../src/records/bench/index.ts';
import { openStore } from '../../../src/store/index.ts';

const file = (name: string) => {
  const path = `examples/bench/${name}`;
  return parseYamlRecord(readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8'), path);
};

// What the issue of the bench asks the demo to hold.
it('the demo is a batch of sixty half-way, with its troubles', async () => {
  const files = { parts: readParts(file('parts.yaml')), plan: readPlan(file('plan-alder-3.yaml')) };
  const entries = demoEntries(files);
  expect(demoEntries(files)).toEqual(entries);
  // As the server does it: at once, into a database that checks each shipment by itself.
  const folder = mkdtempSync(`${tmpdir()}/demo-`);
  const store = await openStore(`${folder}/demo.sunperch`, { create: true, now: () => '2030-01-31T12:00:00.000Z' });
  const state = emptyBench();
  try {
    expect((await store.bench.append(entries, 0)).added).toBe(true);
    fold(state, await store.bench.after(0));
  } finally {
    await store.close();
    rmSync(folder, { recursive: true });
  }
  expect(entries.map((e) => e.at)).toEqual(entries.map((e) => e.at).sort());
  expect(batchLook(state, 'a-07').units).toHaveLength(60);
  const units = [...state.units.values()];
  const stages = (stage: string) => units.filter((u) => u.stage === stage).length;
  expect({ shipped: stages('shipped'), stopped: stages('stopped'), returned: stages('returned') }).toEqual({
    shipped: 3,
    stopped: 1,
    returned: 1,
  });
  expect(units.filter((u) => u.steps.size > 0 && u.steps.size < 7).length).toBeGreaterThan(20);
  expect(units.reduce((sum, u) => sum + u.reworks, 0)).toBe(2);
  expect(units.filter((u) => u.overrides.size > 0)).toHaveLength(1);
  const refused = [...state.lots.values()].filter((l) => l.inspections.at(-1)?.found?.verdict === 'refused');
  expect(refused.map((l) => l.part)).toEqual(['antenna']);
  const held = [...state.lots.values()].filter((l) => l.quarantined !== null).map((l) => l.key);
  expect(held).toEqual(['cell-2', 'antenna-2']);
  expect(recall(state, 'cell-2').units[0]).toMatchObject({ stage: 'shipped', customer: 'Hut Ilva', count: 3 });
  expect([...state.lots.values()].filter((l) => l.left < 0)).toEqual([]);
});
