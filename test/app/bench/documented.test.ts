// source: docs/json.md itself: every field of an answer stands there, under the command that gives it
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { registerBatch } from '../../../src/cli/commands/batch.ts';
import { registerStores } from '../../../src/cli/commands/stores.ts';
import { registerUnit } from '../../../src/cli/commands/unit.ts';
import { registerWorkshop } from '../../../src/cli/commands/workshop.ts';
import { inProcess } from '../../cli/in-process.ts';

const folder = mkdtempSync(join(tmpdir(), 'documented-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const file = (name: string, text: string): string => {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
};
const workshop = join(folder, 'w.sunperch');

const commands = inProcess(registerBatch, registerStores, registerUnit, registerWorkshop);
const json = (...args: string[]): Promise<Record<string, unknown>> => commands.json(...args, '--workshop', workshop);

/** Sections by the commands that their headings name: `## \`unit ship\`, \`batch gauge\`` tells of both. */
const sections = readFileSync(new URL('../../../docs/json.md', import.meta.url), 'utf8').split(/^## /m);
/** What is said once for all commands, above the sections. */
const GENERAL = new Set(['command', 'verdict', 'notes', 'assumptions', 'cautions']);

/** Names in the text that tells of a command; where it tells "the fields of" another, those too. */
function namesOf(command: string): Set<string> {
  const names = new Set<string>();
  const own = sections.filter((text) => text.split('\n', 1)[0]!.includes(`\`${command}\``));
  for (const text of own) {
    for (const [, name] of text.matchAll(/`([A-Za-z_]\w*)(?:\[\])?`/g)) names.add(name!);
    for (const [, other] of text.matchAll(/the fields of `([a-z -]+)`/g))
      if (other !== command) for (const name of namesOf(other!)) names.add(name);
  }
  return names;
}

const PARTS = `parts:
  - { key: cell, name: Cell, is: other, measured: piece, inspection: { level: II, aql_pct: 1 }, offers: [{ supplier: One, currency: EUR, breaks: [{ from: 1, price_minor: 300 }], leadTime_d: 5 }] }
  - { key: lid, name: Lid, is: other, measured: piece }
`;
const BUILD = `name: Two
kit: two
kitRevision: 1
bom: [{ part: cell, count: 1 }, { part: lid, count: 1 }]
steps:
  - { key: fit, name: Fit, time_min: 2, parts: [cell, lid], gates: [sleep] }
gates:
  - { key: sleep, name: Sleep current, measures: sleep current, high: 40 }
`;

/** What a maker does, in order; `{1}` is the serial of the first unit. */
const STORY: readonly (readonly [command: string, ...args: string[]])[] = [
  ['stores parts', file('parts.yaml', PARTS)],
  ['stores receive', 'cell', '--count', '50', '--supplier', 'One', '--goods', '100'],
  ['stores draw', 'cell-1', '--seed', '1'],
  ['stores found', 'cell-1'],
  ['stores receive', 'lid', '--count', '50', '--supplier', 'One', '--goods', '10'],
  ['batch plan', file('plan.yaml', BUILD), '--key', 'two'],
  ['batch drawing', 'two', 'fit', file('lid.pdf', '%PDF-1.4 a drawing')],
  ['batch open', 'b-1', '--plan', 'two', '--count', '4', '--prefix', 'B1'],
  ['batch order place', 'hut', '--customer', 'Hut', '--plan', 'two', '--count', '2', '--region', 'EU'],
  ['batch order list'],
  ['unit measure', '{1}', 'sleep', '90'],
  ['unit rework', '{1}', '--reason', 'flux'],
  ['unit measure', '{1}', 'sleep', '20'],
  ['unit tick', '{1}', 'fit'],
  ['unit untick', '{1}', 'fit'],
  ['unit tick', '{1}', 'fit', '--no-parts'],
  ['unit take-out', '{1}', 'lid', '--lot', 'lid-1'],
  ['unit fit', '{1}', 'lid'],
  ['unit override', '{2}', 'sleep', '--name', 'A', '--reason', 'b'],
  ['unit reserve', '{1}', '--order', 'hut'],
  ['batch order free', '{1}'],
  ['batch order reserve', 'hut', '{1}'],
  ['unit ship', '{1}', '--charge', '20', '--no-check'],
  ['unit return', '{1}', '--reason', 'dark', '--cause', 'went dark'],
  ['unit tick', '{2}', 'fit'],
  ['unit swap', '{1}', '{2}', '--charge', '20'],
  ['unit repair', '{1}', '--what', 'new cell', '--cause', 'cells'],
  ['unit passport', '{1}', '--show', 'kit,gates', '--out', join(folder, 'p.html')],
  ['unit scrap', '{3}', '--reason', 'dropped'],
  ['unit show', '{1}'],
  ['stores move', 'cell-1', '+3', '--why', 'given back'],
  ['stores count', 'cell-1', '40'],
  ['stores quarantine', 'cell-1', '--reason', 'swollen'],
  ['stores recall', 'cell-1', '--csv', join(folder, 'r.csv')],
  ['stores release', 'cell-1', '--reason', 'was dust'],
  ['stores list'],
  ['stores ledger', 'cell-1'],
  ['stores order', 'two', '--units', '100'],
  ['batch quality', 'b-1'],
  ['batch papers', 'b-1'],
  ['batch list'],
  ['batch show', 'b-1'],
  ['batch close', 'b-1'],
  ['batch order cancel', 'hut'],
];

it('tells each field of each command of the bench', async () => {
  await json('workshop', 'init');
  let serials: string[] = [];
  const missing = new Map<string, string[]>();
  for (const [command, ...args] of STORY) {
    const words = args.map((arg) => arg.replace(/^\{(\d)\}$/, (_, n: string) => serials[Number(n) - 1]!));
    const answer = await json(...command.split(' '), ...words);
    if (command === 'batch open')
      serials = ((await json('batch', 'show', 'b-1'))['units'] as { serial: string }[]).map((u) => u.serial);
    const names = namesOf(command);
    const unknown = Object.keys(answer).filter((key) => !GENERAL.has(key) && !names.has(key));
    if (names.size === 0 || unknown.length > 0) missing.set(command, names.size === 0 ? ['its section'] : unknown);
  }
  expect(Object.fromEntries(missing)).toEqual({});
});
