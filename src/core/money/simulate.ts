import type { Random } from '../math/index.ts';
import { quantileOfSorted } from '../math/index.ts';
import type { SupplyOption } from './price.ts';
import { crossoverQuantity } from './price.ts';

/** A figure that is not known exactly. `triangle` is what one can say of a guess: at least, most likely, at most. */
export type Uncertain =
  | number
  | { readonly kind: 'normal'; readonly mean: number; readonly sd: number }
  | { readonly kind: 'triangle'; readonly low: number; readonly mode: number; readonly high: number }
  | { readonly kind: 'poisson'; readonly mean: number }
  | { readonly kind: 'values'; readonly values: readonly number[] };

/**
 * One draw. Normal draws are not bounded; a Poisson mean above 30 is drawn as a rounded normal, error below 1 % of its
 * spread (judgement).
 */
export function drawUncertain(figure: Uncertain, random: Random): number {
  if (typeof figure === 'number') return figure;
  switch (figure.kind) {
    case 'normal':
      return figure.mean + figure.sd * random.normal();
    case 'triangle': {
      const { low, mode, high } = figure;
      if (!(low <= mode && mode <= high)) throw new RangeError(`triangle: ${low}, ${mode}, ${high}`);
      if (high === low) return low;
      const u = random.next();
      const turn = (mode - low) / (high - low);
      return u < turn
        ? low + Math.sqrt(u * (high - low) * (mode - low))
        : high - Math.sqrt((1 - u) * (high - low) * (high - mode));
    }
    case 'poisson': {
      if (figure.mean > 30) return Math.max(0, Math.round(figure.mean + Math.sqrt(figure.mean) * random.normal()));
      // Knuth's product of uniforms.
      const stop = Math.exp(-figure.mean);
      let count = -1;
      for (let product = 1; product > stop; product *= random.next()) count++;
      return Math.max(0, count);
    }
    case 'values':
      return figure.values[random.below(figure.values.length)]!;
  }
}

export interface UncertainOption {
  readonly fixed: Uncertain;
  readonly unit: Uncertain;
  readonly yieldShare?: Uncertain | undefined;
}

export interface ToolQuestion {
  readonly bought: UncertainOption;
  readonly tool: UncertainOption;
  /** Good pieces wanted over the life of the tool. */
  readonly demand: Uncertain;
  /** What a piece sells for, and what else it costs; both nought to compare costs alone. */
  readonly price?: Uncertain | undefined;
  readonly other?: Uncertain | undefined;
  readonly runs: number;
  /** Quantities at which the saving is wanted. */
  readonly quantities?: readonly number[] | undefined;
}

export interface ToolAnswer {
  /** Crossover quantity of each run, ascending; infinite where the tool never pays. */
  readonly crossover: Float64Array;
  /** 5 %, 50 %, 95 % of it. */
  readonly low: number;
  readonly middle: number;
  readonly high: number;
  /**
   * Share of runs in which the tool never pays, whatever the quantity; and in which it pays at the demand of the run.
   */
  readonly neverPays: number;
  readonly pays: number;
  /** Profit of each run (less cost, when there is no price), in the order drawn: the two belong together. */
  readonly profitBought: Float64Array;
  readonly profitTool: Float64Array;
  /** What the tool asks for at once beyond what is bought in, in the same order. */
  readonly extra: Float64Array;
  /** Saving by the tool at each quantity asked for: 5 %, 50 %, 95 %. */
  readonly savings: readonly { quantity: number; low: number; middle: number; high: number }[];
}

/**
 * Own tool or bought-in part, when cost, yield, price and demand are guesses: Monte Carlo over all of them at once
 * (crossover analysis of Heizer & Render, supplement 7, in each run). Runs share their draws between the two options,
 * so differences are exact. The spread is only as good as the guesses; 2,000 runs know the middle to a few percent of
 * it.
 */
export function toolOrBought(question: ToolQuestion, random: Random): ToolAnswer {
  const { runs, quantities = [] } = question;
  if (!(Number.isInteger(runs) && runs >= 1)) throw new RangeError(`toolOrBought: ${runs} runs`);
  const crossover = new Float64Array(runs);
  const profitBought = new Float64Array(runs);
  const profitTool = new Float64Array(runs);
  const extra = new Float64Array(runs);
  const savings = quantities.map(() => new Float64Array(runs));
  let pays = 0;
  for (let r = 0; r < runs; r++) {
    const bought = drawOption(question.bought, random);
    const tool = drawOption(question.tool, random);
    const demand = Math.max(0, drawUncertain(question.demand, random));
    const earned = drawUncertain(question.price ?? 0, random) - drawUncertain(question.other ?? 0, random);
    crossover[r] = crossoverQuantity(bought, tool);
    profitBought[r] = earned * demand - cost(bought, demand);
    profitTool[r] = earned * demand - cost(tool, demand);
    extra[r] = tool.fixed - bought.fixed;
    if (profitTool[r]! > profitBought[r]!) pays++;
    quantities.forEach((q, i) => {
      savings[i]![r] = cost(bought, q) - cost(tool, q);
    });
  }
  crossover.sort();
  return {
    crossover,
    ...spanOf(crossover),
    neverPays: crossover.filter((q) => q === Number.POSITIVE_INFINITY).length / runs,
    pays: pays / runs,
    profitBought,
    profitTool,
    extra,
    savings: savings.map((s, i) => ({ quantity: quantities[i]!, ...spanOf(s.sort()) })),
  };
}

/** 5 %, 50 % and 95 %; beside an infinite one there is nothing between to interpolate. */
function spanOf(sorted: Float64Array): { low: number; middle: number; high: number } {
  const at = (p: number) => {
    const value = quantileOfSorted(sorted, p);
    return Number.isNaN(value) ? sorted[Math.round(p * (sorted.length - 1))]! : value;
  };
  return { low: at(0.05), middle: at(0.5), high: at(0.95) };
}

const LEAST_YIELD = 0.01;

interface DrawnOption extends SupplyOption {
  readonly yieldShare: number;
}

function drawOption(option: UncertainOption, random: Random): DrawnOption {
  const yieldShare = drawUncertain(option.yieldShare ?? 1, random);
  return {
    fixed: drawUncertain(option.fixed, random),
    unit: drawUncertain(option.unit, random),
    yieldShare: Math.min(1, Math.max(LEAST_YIELD, yieldShare)),
  };
}

function cost(option: DrawnOption, quantity: number): number {
  return option.fixed + (option.unit / option.yieldShare) * quantity;
}

export interface BatchQuestion {
  /** Units started. */
  readonly starts: number;
  readonly yieldShare: Uncertain;
  readonly demand: Uncertain;
  readonly price: Uncertain;
  /** Of a unit started. */
  readonly unitCost: Uncertain;
  readonly fixed: Uncertain;
  /** Of a good unit left over. */
  readonly salvage: Uncertain;
  /** Returns and warranty, of a unit sold. */
  readonly after?: Uncertain | undefined;
  readonly runs: number;
}

export interface BatchAnswer {
  /** Profit of each run, ascending: a plot, not one figure. */
  readonly profit: Float64Array;
  readonly mean: number;
  readonly low: number;
  readonly middle: number;
  readonly high: number;
  readonly lossChance: number;
  readonly meanSold: number;
}

/** Starts above which good ones are drawn as a rounded normal: error below 1 % of their spread (judgement). */
const MANY = 2000;

function goodOf(starts: number, share: number, random: Random): number {
  const spread = Math.sqrt(starts * share * (1 - share));
  if (starts > MANY && spread > 10)
    return Math.min(starts, Math.max(0, Math.round(starts * share + spread * random.normal())));
  let good = 0;
  for (let i = 0; i < starts; i++) if (random.next() < share) good++;
  return good;
}

/**
 * Profit of a batch as a distribution: good units are drawn one by one from the yield, sold up to the demand, the rest
 * salvaged.
 */
export function batchProfit(question: BatchQuestion, random: Random): BatchAnswer {
  const { starts, runs } = question;
  if (!(Number.isInteger(starts) && starts >= 0 && Number.isInteger(runs) && runs >= 1))
    throw new RangeError(`batchProfit: ${starts} starts, ${runs} runs`);
  const profit = new Float64Array(runs);
  let sum = 0;
  let loss = 0;
  let soldSum = 0;
  for (let r = 0; r < runs; r++) {
    const share = Math.min(1, Math.max(0, drawUncertain(question.yieldShare, random)));
    const good = goodOf(starts, share, random);
    const sold = Math.min(good, Math.max(0, Math.round(drawUncertain(question.demand, random))));
    const value =
      sold * (drawUncertain(question.price, random) - drawUncertain(question.after ?? 0, random)) +
      (good - sold) * drawUncertain(question.salvage, random) -
      starts * drawUncertain(question.unitCost, random) -
      drawUncertain(question.fixed, random);
    profit[r] = value;
    sum += value;
    soldSum += sold;
    if (value < 0) loss++;
  }
  profit.sort();
  return { profit, mean: sum / runs, ...spanOf(profit), lossChance: loss / runs, meanSold: soldSum / runs };
}
