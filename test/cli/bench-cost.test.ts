import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Command, CommanderError } from 'commander';
import { afterAll, describe, expect, it, vi } from 'vitest';
import { registerCost } from '../../src/cli/commands/cost.ts';
import { UserError } from '../../src/core/units/index.ts';
import { readGolden } from '../golden.ts';
import { parseXml } from '../report/xml.ts';

/* The published figures of costing through the commands, each command's fields in the documents, and slips told with field and mend. */

const folder = mkdtempSync(join(tmpdir(), 'bench-cost-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
let files = 0;
/** A file of assumptions; JSON is YAML too. */
function assume(record: object): string[] {
  const path = join(folder, `a${++files}.yaml`);
  writeFileSync(path, JSON.stringify({ currency: 'EUR', ...record }));
  return ['--assume', path];
}
const EXAMPLE = ['--assume', 'examples/bench/cost.yaml'];

// biome-ignore lint/suspicious/noExplicitAny: answers of many commands
type Answer = Record<string, any>;

const program = new Command('sunperch');
registerCost(program);
const strict = (command: Command): void => {
  command.exitOverride().configureOutput({ writeErr: () => {} });
  command.commands.forEach(strict);
};
strict(program);

async function run(...args: string[]): Promise<string> {
  let out = '';
  const spy = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    out += String(text);
    return true;
  });
  try {
    await program.parseAsync(['cost', ...args], { from: 'user' });
  } finally {
    spy.mockRestore();
    process.exitCode = undefined;
  }
  return out;
}
const json = async (...args: string[]): Promise<Answer> => JSON.parse(await run(...args, '--json'));

const golden = readGolden('money-figures.csv').rows;
function meets(name: string, found: Readonly<Record<string, number>>): void {
  for (const [figure, value] of Object.entries(found)) {
    const row = golden.find((r) => r['case'] === name && r['figure'] === figure)!;
    expect(Math.abs(value - Number(row['value'])), `${name} ${figure}: ${value}`).toBeLessThanOrEqual(
      Number(row['tolerance']),
    );
  }
}

describe('published figures through `sunperch cost`', () => {
  it('break-even, with what it takes for a target', async () => {
    const unit = (material_minor: number) => ({ unit: { material_minor, labour_min: 0 } });
    const plain = { fixed_minor: 1_200_000, price_minor: 9500, ...unit(5500) };
    meets('break-even', { units: (await json('break-even', ...assume(plain)))['units'] });
    // 5714.29 pieces, counted whole.
    const target = { fixed_minor: 1_000_000, price_minor: 400, batch: 8000, ...unit(225) };
    const found = await json('break-even', ...assume(target));
    expect(found['units']).toBe(5715);
    // Of whole pieces too: 1 - 5715/8000.
    expect(found['marginOfSafety']).toBeCloseTo(1 - 5715 / 8000, 9);
  });

  it('own tool or bought-in housings', async () => {
    const housing = (bought: number, tool: number, fixed_minor: number) => ({
      housing: {
        bought: { fixed_minor: 0, unit_minor: bought },
        tool: { fixed_minor, unit_minor: tool },
        demand: 1000,
      },
    });
    const small = await json('crossover', ...assume(housing(1400, 250, 230_000)));
    meets('tool-200', { units: small['units'] });
    expect([small['unitsLow'], small['unitsHigh'], small['pays']]).toEqual([200, 200, 1]);
    meets('tool-560', { units: (await json('crossover', ...assume(housing(920, 170, 420_000))))['units'] });
  });

  it('how many to order, with and without price breaks, and when', async () => {
    const order = (terms: object) => assume({ order: terms });
    const plain = await json(
      'order',
      ...order({ demand_year: 1000, order_minor: 1000, holding_minor: 50, days: 250, breaks: [] }),
    );
    meets('eoq', { quantity: plain['exact'], orders: plain['orders_year'], cost: plain['keeping_minor'] / 100 });
    expect([plain['quantity'], plain['between_days']]).toEqual([200, 50]);
    const breaks = [
      { from: 1, price_minor: 500 },
      { from: 1000, price_minor: 480 },
      { from: 2000, price_minor: 475 },
    ];
    const offers = await json('order', ...order({ demand_year: 5000, order_minor: 4900, holding: 0.2, breaks }));
    meets('eoq-discount', {
      best: offers['quantity'],
      'quantity 0': offers['sizes'][0].quantity,
      'total 0': offers['sizes'][0].total_minor / 100,
      'quantity 1': offers['sizes'][1].quantity,
      'total 1': offers['sizes'][1].total_minor / 100,
      'quantity 2': offers['sizes'][2].quantity,
      'total 2': offers['sizes'][2].total_minor / 100,
    });
    const when = (terms: object) =>
      json('order', ...order({ order_minor: 1000, holding_minor: 50, days: 250, ...terms }));
    const sure = { demand_year: 250 * 15, sdDemand_day: 5, lead_days: 2, service: 0.97 };
    const first = await when(sure);
    meets('rop-15', { point: first['reorderPoint'], safety: first['safety'] });
    const both = { demand_year: 250 * 150, sdDemand_day: 16, lead_days: 5, leadSpread_days: 1, service: 0.95 };
    meets('rop-150', { point: (await when(both))['reorderPoint'] });
  });

  it('how many to begin for a hundred good ones, and spares for the years of warranty', async () => {
    // Source: the shared reference folder, rolled throughput yield: 112 on average; starts for a chance: binomial law.
    const steps = await json('starts', '--good', '100', '--yield', '98%,95%,99%,97%');
    expect(steps['onAverage']).toBe(112);
    expect(steps['yieldShare']).toBeCloseTo(0.8940393, 9);
    expect(steps['yieldOfStep']).toBeCloseTo(0.9723870188, 9);
    const one = await json('starts', '--good', '100', '--yield', '95%', '--starts', '108');
    expect(one['starts']).toBe(109);
    expect(one['asked'].chance).toBeCloseTo(0.9080687578, 9);
    const kept = await json('spares', '--units', '100', '--rate', '4%', '--years', '2');
    meets('spares', { count: kept['spares'] });
    expect(kept['mean']).toBeCloseTo(8, 9);
  });

  it('margin, markup and the price that keeps a sum', async () => {
    const cost = { unit: { material_minor: 6000, labour_min: 0 }, tax_pct: 20 };
    const at = await json('price', ...assume(cost), '--price', '100');
    meets('margin', { margin: at['margin'], markup: at['markup'], gross: at['gross_minor'] / 100 });
    // 133.33 and a third, in whole cents: up, so that the margin is kept.
    expect((await json('price', ...assume(cost), '--margin', '55%'))['price_minor']).toBe(13_334);
  });
});

describe('`sunperch cost`', () => {
  const pictures = async (command: string) => {
    const path = join(folder, `${command}.svg`);
    const outcome = await json(command, ...EXAMPLE, '--svg', path);
    expect(outcome['files']).toEqual([path]);
    return parseXml(readFileSync(path, 'utf8'));
  };
  it('draws break-even, crossover and the spread of the profit', async () => {
    for (const command of ['break-even', 'crossover', 'next']) expect((await pictures(command)).name).toBe('svg');
  });

  it('answers the same for the same inputs, and otherwise for another seed', async () => {
    const drawn = async (...seed: string[]) => (await json('crossover', ...EXAMPLE, ...seed))['savings'];
    const first = await drawn();
    expect(await drawn()).toEqual(first);
    expect(await drawn('--seed', '7')).not.toEqual(first);
  });

  it('tells each field in the document', async () => {
    const text = readFileSync(new URL('../../docs/json.md', import.meta.url), 'utf8');
    const section = text.split(/^## /m).find((part) => part.startsWith('`cost`'))!;
    const told = new Set([...section.matchAll(/`([A-Za-z_]\w*)(?:\[\])?`/g)].map(([, name]) => name!));
    const asked = [
      ...['unit', 'price', 'break-even', 'crossover', 'next', 'ways', 'overview'].map((c) => [c, ...EXAMPLE]),
      ['starts', '--good', '10', '--yield', '90%'],
      ['spares', '--units', '10', '--rate', '4%'],
      ['order', ...assume({ order: { demand_year: 100, order_minor: 1000, holding_minor: 50 } })],
    ];
    for (const args of asked)
      for (const field of Object.keys(await json(...args)))
        expect(['command', ...told], `${args[0]}: ${field}`).toContain(field);
  });

  it('tells what is wrong with the field and the mend', async () => {
    const cost = { unit: { material_minor: 6000, labour_min: 0 } };
    const problem = async (...args: string[]) => {
      try {
        await run(...args);
      } catch (error) {
        if (error instanceof UserError) return error.problems.map((p) => `${p.field ?? ''} ${p.message}`).join('\n');
        if (error instanceof CommanderError) return error.message;
        throw error;
      }
      return 'nothing';
    };
    for (const [args, said] of [
      [['price', ...assume(cost), '--price', '-5'], /sum above nought/],
      [['price', ...assume(cost), '--margin', '100%'], /no share below 100 %/],
      [['price', ...assume({ ...cost, yieldShare: 0 })], /yieldShare/],
      [['unit', ...assume({ unit: { material_minor: -1, labour_min: 0 } })], /material_minor/],
      [['unit', ...assume({ currency: 'EURO', ...cost })], /currency/],
      [['unit', ...assume({ unit: { material_minor: { low: 9, likely: 5, high: 7 }, labour_min: 0 } })], /low/],
      [['next', ...assume({ ...cost, price_minor: 9000, demand: { months: [] } })], /months/],
      [['unit', '--assume', join(folder, 'none.yaml')], /no such file/],
      [['starts', '--good', '10', '--yield', '0%'], /no share that passes/],
      [['starts', '--good', '10', '--yield', '90%', '--sure', '100%'], /no chance/],
      [['order'], /--assume/],
    ] as const)
      expect(await problem(...args), args.join(' ')).toMatch(said);
  });
});
