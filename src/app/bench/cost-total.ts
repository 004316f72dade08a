/** From parts and work to a good unit: lost units, returns, the spread of it all, and lines that sum to the total. */
import { amount, spreadAmount, type Uncertain } from '../../core/money/index.ts';
import { wilson } from '../../core/quality/index.ts';
import type { CostFile } from '../../records/bench/cost.ts';
import type { CostChange } from '../../records/bench/cost-request.ts';
import { countable, meanOf, meanOfShare, spanOf, uncertainOf } from './cost-guess.ts';
import type { CostLine, UnitCost } from './cost-types.ts';

/** Units finished and lost, shipped and come back. */
export interface Seen {
  readonly good: number;
  readonly lost: number;
  readonly shipped: number;
  readonly back: number;
}

export interface CostParts {
  readonly name: string;
  readonly file: CostFile | null;
  readonly change: CostChange;
  readonly currency: string;
  readonly batchSize: number;
  /** Not rounded. */
  readonly lines: readonly CostLine[];
  readonly material: Uncertain;
  readonly labour: Uncertain;
  readonly seen: Seen | null;
  readonly learning: UnitCost['learning'];
  readonly notes: readonly string[];
  readonly seed: number;
}

/** Fewer units than this say nothing of a share. */
const FEW = 5;

export function totalCost(p: CostParts): UnitCost {
  const { file, currency } = p;
  const notes = [...p.notes];
  const { yieldShare, ended } = yieldOf(p, notes);
  const { back, shipped } = returnShare(p, notes);
  const perReturn = uncertainOf(file?.returns?.cost_minor ?? 0);
  const sumOf = (kind: CostLine['kind']) => p.lines.reduce((s, l) => s + (l.kind === kind ? l.cost_minor : 0), 0);
  const [material_raw, labour_raw] = [sumOf('part'), sumOf('labour')];
  const started = material_raw + labour_raw;
  // Parts seen on whole units and lines seen on all may differ in their means: the spread lies around what the lines say.
  const material = around(p.material, material_raw);
  const labour = around(p.labour, labour_raw);
  if (typeof material !== 'number' && material.kind === 'values')
    notes.push('units differ from one another: the spread is that of one unit; over a batch it evens out in part');
  // A unit that is lost is lost with all that is in it: 1/yield are begun for a good one. The cost is the mean of what the
  // spread draws, so that both tell of one quantity; factors are independent, so the mean is a product of means.
  const loss = started * (meanOfShare(yieldShare, (y) => 1 / goodShare(y)) - 1);
  const returns = meanOf(back) * meanOf(perReturn);
  const lines = rounded(currency, [
    ...p.lines,
    {
      what: 'lost units',
      kind: 'lost units',
      cost_minor: loss,
      basis: ended > 0 ? 'measured' : 'guess',
      fromUnits: ended > 0 ? ended : null,
      quantity: null,
    },
    {
      what: 'returns',
      kind: 'returns',
      cost_minor: returns,
      basis: typeof back !== 'number' ? 'measured' : 'guess',
      fromUnits: typeof back !== 'number' ? shipped : null,
      quantity: null,
    },
  ]);
  const minorOf = (kind: CostLine['kind']) => lines.reduce((s, l) => s + (l.kind === kind ? l.cost_minor : 0), 0);
  const measured = p.lines.filter((l) => l.basis === 'measured').reduce((sum, l) => sum + l.cost_minor, 0);
  const cost_minor = lines.reduce((sum, l) => sum + l.cost_minor, 0);
  const drawn = spanOf(
    [material, labour, yieldShare, back, perReturn],
    ([m, l, y, b, c]) => (m! + l!) / goodShare(y!) + b! * c!,
    p.seed,
  );
  const mid = spanOf([material, labour], ([m, l]) => m! + l!, p.seed);
  return {
    name: p.name,
    currency,
    batchSize: p.batchSize,
    lines,
    material_minor: minorOf('part'),
    labour_minor: minorOf('labour'),
    loss_minor: minorOf('lost units'),
    returns_minor: minorOf('returns'),
    cost_minor,
    measuredShare: started > 0 ? measured / started : 0,
    // One in twenty values far off the others can carry the mean out of nine cases in ten: it belongs to the spread all the same.
    spread_minor: { ...drawn, low: Math.min(drawn.low, cost_minor), high: Math.max(drawn.high, cost_minor) },
    lostShare: Math.max(0, Number((1 - meanOf(yieldShare)).toPrecision(12))),
    figures: {
      started:
        mid.low === mid.high
          ? started
          : { kind: 'triangle', low: Math.min(mid.low, started), mode: started, high: Math.max(mid.high, started) },
      yieldShare,
      returns,
    },
    learning: p.learning,
    seed: p.seed,
    notes,
  };
}

/** Whole minor units that sum to the rounded total: what is left over goes to the largest remainders. */
function rounded(currency: string, lines: readonly CostLine[]): CostLine[] {
  const total = countable(lines.reduce((sum, l) => sum + l.cost_minor, 0));
  const shares = spreadAmount(
    amount(total, currency),
    lines.map((l) => Number(l.cost_minor.toPrecision(15))),
  );
  return lines.map((line, i) => ({ ...line, cost_minor: shares[i]!.minor }));
}

/** What was tried out goes before what was seen, and that before what is assumed. */
function yieldOf({ file, seen, change }: CostParts, notes: string[]): { yieldShare: Uncertain; ended: number } {
  if (change.lost_pct !== undefined) return { yieldShare: 1 - change.lost_pct / 100, ended: 0 };
  const ended = seen === null ? 0 : seen.good + seen.lost;
  if (ended >= FEW) {
    notes.push(
      `${seen!.good} of ${ended} units ended well; so few say only roughly what share will: cost and spread take its 95 % interval`,
    );
    return { yieldShare: asTriangle(wilson(seen!.good, ended)), ended };
  }
  if (file?.yieldShare === undefined) notes.push('no share of good units is known: none is taken to be lost');
  return { yieldShare: file?.yieldShare === undefined ? 1 : uncertainOf(file.yieldShare), ended: 0 };
}

function returnShare({ file, seen }: CostParts, notes: string[]): { back: Uncertain; shipped: number } {
  if (file?.returns === undefined) notes.push('nothing says what a return costs: returns count for nothing');
  const shipped = seen?.shipped ?? 0;
  if (shipped >= FEW && file?.returns?.share === undefined)
    return { back: asTriangle(wilson(seen!.back, shipped)), shipped };
  return { back: file?.returns?.share ?? 0, shipped };
}

const goodShare = (drawn: number) => Math.min(1, Math.max(0.01, drawn));

/** Values seen, moved so that their mean is the one given. */
function around(figure: Uncertain, mean: number): Uncertain {
  if (typeof figure === 'number' || figure.kind !== 'values') return figure;
  const by = mean - meanOf(figure);
  return { kind: 'values', values: figure.values.map((value) => value + by) };
}

/** A share seen among few, as a triangle over its interval: most likely is what was seen. */
const asTriangle = ({ mean, low, high }: { mean: number; low: number; high: number }): Uncertain => ({
  kind: 'triangle',
  low,
  mode: mean,
  high,
});
