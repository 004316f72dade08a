import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { CommanderError } from 'commander';
import { afterAll, describe, expect, it } from 'vitest';
import { registerCost } from '../../src/cli/commands/cost.ts';
import { formatProblem, UserError } from '../../src/core/units/index.ts';
import { readGolden } from '../golden.ts';
import { parseXml } from '../report/xml.ts';
import { inProcess } from './in-process.ts';

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

const cost = inProcess(registerCost);
const run = (...args: string[]) => cost.run('cost', ...args);
const json = (...args: string[]) => cost.json('cost', ...args);

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
    expect((await json('break-even', ...assume(target), '--target', '5000'))['units']).toBe(8572); // 8571.43
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
    // 1,000.00 paid at once, 400.00 saved in each of three years, interest 10 %.
    const years = { years: 3, interest_pct: 10, demand: 300 };
    const worth = await json('crossover', ...assume({ housing: { ...housing(400, 0, 100_000).housing, ...years } }));
    const [exact] = golden.filter((r) => r['case'] === 'npv' && r['figure'] === 'value');
    expect(worth['worth_minor']).toBe(Math.round(100 * Number(exact!['value'])));
    expect(worth['worth'].low_minor).toBe(worth['worth_minor']);
    meets('npv', { payback: worth['payback_years'] });
  });

  it('how many to make once, for a demand that is guessed', async () => {
    const ask = (pieces: object, price_minor: number, cost: number, salvage_minor: number) =>
      json(
        'next',
        ...assume({ unit: { material_minor: cost, labour_min: 0 }, price_minor, salvage_minor, demand: { pieces } }),
      );
    const weights = [60, 70, 80, 90, 100].flatMap((n, i) => new Array<number>([2, 5, 6, 4, 3][i]!).fill(n));
    const few = await ask({ values: weights }, 5000, 2000, 0);
    meets('newsvendor-discrete', { ratio: few['ratio'], quantity: few['stock'] });
    const normal = await ask({ mean: 100, sd: 20 }, 2500, 1000, 400);
    meets('newsvendor-100', { ratio: normal['ratio'] });
    // 111.32 pieces, counted whole; 1,357.24 expected, in 4,000 draws whose spread is about 230.
    expect(Math.abs(normal['stock'] - 111.32)).toBeLessThan(1);
    expect(Math.abs(normal['profit'].mean_minor / 100 - 1357.24)).toBeLessThan((4 * 230) / Math.sqrt(4000));
  });

  it('work along both learning curves', async () => {
    const rows = readGolden('money-learning.csv').rows;
    const value = (name: string, figure: string) =>
      Number(rows.find((r) => r['case'] === name && r['figure'] === figure)!['value']);
    const minutes = async (labour_min: number, batch: number, labour: object) => {
      const work = { unit: { material_minor: 0, labour_min }, batch, labour: { rate_minor_h: 100, ...labour } };
      return (await json('unit', ...assume(work)))['lines'][1].quantity;
    };
    const nine = { learningRate: 0.9 };
    expect(await minutes(2.5, 60, nine)).toBeCloseTo(value('unit 2.5 0.9', 'total 60') / 60, 9);
    expect(await minutes(2.5, 1, { ...nine, madeBefore: 59 })).toBeCloseTo(value('unit 2.5 0.9', 'unit 60'), 9);
    const average = { learningRate: 0.8, model: 'average' };
    expect(await minutes(100, 4, average)).toBeCloseTo(value('average 100 0.8', 'mean 4'), 8);
    expect(await minutes(100, 1, { ...average, madeBefore: 99 })).toBeCloseTo(value('average 100 0.8', 'unit 100'), 8);
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
    const steady = { demand_year: 8000, lead_days: 3 };
    meets('rop-96', { point: (await when(steady))['reorderPoint'] });
    const day = await when({ demand_year: 250 * 350, sdDemand_day: 10, lead_days: 1, service: 0.95 });
    meets('rop-350', { point: day['reorderPoint'], safety: day['safety'] });
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
    // 105.579 of which 5 % and 0.30 are taken, up to whole cents.
    const fees = { ...cost, fees: { share: 0.05, fixed_minor: 30 } };
    const kept = await json('price', ...assume(fees), '--keep', '100');
    expect(kept['price_minor']).toBe(10_558);
    expect(kept['price_minor'] - kept['fees_minor']).toBe(10_000);
  });

  it('counts in whole units of any currency', async () => {
    // ISO 4217, from memory: the yen has no smaller unit, the dinar of Kuwait a thousandth.
    const yen = await json(
      'price',
      ...assume({ currency: 'JPY', unit: { material_minor: 1000, labour_min: 0 } }),
      '--margin',
      '30%',
    );
    expect([yen['price_minor'], yen['verdict']]).toEqual([1429, expect.stringContaining('at 1429 JPY 429 JPY stay')]);
    const dinar = await json(
      'price',
      ...assume({ currency: 'KWD', unit: { material_minor: 1000, labour_min: 0 } }),
      '--price',
      '1.234',
    );
    expect(dinar['verdict']).toContain('at 1.234 KWD 0.234 KWD stay');
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
        if (error instanceof UserError) return error.problems.map(formatProblem).join('\n');
        if (error instanceof CommanderError) return error.message;
        throw error;
      }
      return 'nothing';
    };
    const guessed = (low: number, likely: number, high: number) => ({
      unit: { material_minor: { low, likely, high }, labour_min: 0 },
    });
    const demand = (told: object) => assume({ ...cost, price_minor: 9000, demand: told });
    const order = (terms: object) => assume({ order: { demand_year: 100, order_minor: 100, ...terms } });
    for (const [args, said] of [
      [['price', ...assume(cost), '--price', '-5'], /--price: .*is -5: it is a sum above nought, such as 95\.00/],
      [['price', ...assume(cost), '--price', '9,50'], /write digits with a point, such as 12\.34/],
      [['price', ...assume({ ...cost, price_minor: 0 })], /price: the price is nothing: give one above nought/],
      [['price', ...assume({ ...cost, price_minor: -900 })], /cost\.price_minor: .*-900: a price is not negative/],
      [['price', ...assume(cost), '--margin', '100%'], /--margin.*no share below 100 %: write 35% or 0\.35/],
      [['price', ...assume({ ...cost, margin: 1 })], /cost\.margin: margin is 1: a margin lies between 0 and 0\.95/],
      [
        ['price', ...assume({ ...cost, fees: { share: 0.6 }, margin: 0.5 })],
        /margin: .*60\.0 % leave nothing.*ask for less/,
      ],
      [['price', ...assume(cost)], /margin: give --margin for the price, or --price/],
      [
        ['price', ...assume({ ...cost, yieldShare: 0 })],
        /cost\.yieldShare: .*is 0: the share that comes out good lies between 0\.01 and 1/,
      ],
      [['price', ...assume({ ...cost, yieldShare: 95 })], /cost\.yieldShare: .*write 95 % as 0\.95/],
      [
        ['unit', ...assume({ unit: { material_minor: -1, labour_min: 0 } })],
        /unit\.material_minor: .*the price of the parts lies between 0/,
      ],
      [['unit', ...assume({ currency: 'EURO', ...cost })], /cost\.currency: .*three letters of ISO 4217, such as EUR/],
      [['unit', ...assume({ currency: 'XQX', ...cost })], /cost\.currency: .*no currency in use is called XQX/],
      [
        ['unit', ...assume({ ...cost, rates: { USD: 0.9 } })],
        /cost\.rates\.USD: a rate holds on a day: write \{ rate: 0\.9, on: 2026-11-25 \}/,
      ],
      [['unit', ...assume(guessed(9, 5, 7))], /unit\.material_minor: .*guessed as 9, 5, 7: low, likely and high rise/],
      [['unit', ...assume(guessed(5, 9, 7))], /low, likely and high rise; change the two/],
      [['next', ...demand({ months: [] })], /cost\.demand\.months: .*at least one month, such as \[4, 7, 5\]/],
      [['next', ...demand({})], /cost\.demand: demand is told by months or by pieces: give one of the two/],
      [['next', ...assume({ ...cost, price_minor: 9000 })], /demand: no demand is known: place orders, or give/],
      [
        ['next', ...assume({ ...cost, price_minor: 5000, demand: { months: [3] } })],
        /price: after fees a unit brings 50\.00 EUR/,
      ],
      [['unit'], /unit: nothing says what a unit is made of: name a batch or a plan/],
      [['unit', '--assume', join(folder, 'none.yaml')], /none\.yaml: .*no such file/],
      [['unit', ...assume(cost), '--lost', '100%'], /--lost.*no share below 100 %/],
      [['unit', ...assume(cost), '--learning', '40%'], /--learning.*from 51 % to 100 %/],
      [['crossover', ...assume(cost)], /housing: .*says nothing of housings: give `housing`/],
      [['ways', ...assume(cost)], /ways: .*names no way to sell: give `ways`/],
      [['order'], /assumptions: .*--assume/],
      [['order', ...assume(cost)], /order: .*give `order`/],
      [['order', ...order({})], /cost\.order: keeping is told as holding .* give one of the two/],
      [['order', ...order({ holding: 0.2 })], /order\.breaks: .*no price is known/],
      [['starts', '--good', '10'], /yields: .*give --yield, name a batch/],
      [['starts', '--good', '10', '--yield', '0%'], /--yield.*no share that passes.*write 95% or 0\.95/],
      [['starts', '--good', '10', '--yield', '90%', '--sure', '100%'], /--sure.*no chance.*write 95% or 0\.95/],
      [['spares'], /units: no unit is in the field: give --units/],
      [['spares', '--units', '10'], /rate_pct: .*give --rate/],
    ] as const)
      expect(await problem(...args), args.join(' ')).toMatch(said);
  });
});
