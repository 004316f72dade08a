/** What is tried out: price, margin, demand, learning and lost units, each by slider or number; shown at once. */
import type { CostOverview } from '../../../app/bench/cost-overview.ts';
import { currencyDigits } from '../../../core/money/index.ts';
import type { Problem } from '../../../core/units/index.ts';
import type { CostChange } from '../../../records/bench/cost-request.ts';
import { Slider } from '../../parts/slider.tsx';
import type { CostHand } from '../../state/cost.ts';

type Sale = NonNullable<CostHand['sale']>;

export interface TryProps {
  readonly outcome: CostOverview;
  readonly hand: CostHand;
  /** Problems of price and margin. */
  readonly problems: readonly Problem[];
  /** Neither the hand nor the assumptions say a price: this margin is taken. */
  readonly usualMargin_pct: number | null;
  readonly onSale: (sale: Sale) => void;
  readonly onChange: (change: CostChange, what: string) => void;
  readonly onEnd: () => void;
}

const tenth = (v: number) => Math.round(10 * v) / 10;

export function TryOut({ outcome, hand, problems, usualMargin_pct, onSale, onChange, onEnd }: TryProps) {
  const { price, unit, next, currency } = outcome;
  const digits = currencyDigits(currency);
  const scale = 10 ** digits;
  const own = (by: Sale['by']) => (hand.sale?.by === by ? hand.sale.value : undefined);
  const margin_pct = own('margin_pct') ?? tenth(100 * (price?.margin ?? 0));
  const price_minor = own('price_minor') ?? price?.price_minor ?? unit.cost_minor;
  const most = Math.max(1, Math.ceil((4 * unit.cost_minor) / scale / 10) * 10, Math.ceil(price_minor / scale));
  const perMonth = tenth(hand.change.demand_month ?? next?.perMonth ?? 0);
  const put = (field: keyof CostChange, low: number, high: number) => (value: number | string) => {
    if (typeof value === 'number' && value >= low && value <= high) onChange({ ...hand.change, [field]: value }, field);
  };
  const ofField = (by: Sale['by']) => (hand.sale === null || hand.sale.by === by ? problems : []);
  return (
    <section class="cost-try" aria-labelledby="try-h">
      <h2 id="try-h">Try it out</h2>
      <Slider
        label={`Net price, ${currency}`}
        field="price"
        value={Number((price_minor / scale).toFixed(digits))}
        low={0}
        high={most}
        step={digits === 0 ? 1 : 0.5}
        problems={hand.sale?.by === 'price_minor' ? problems : []}
        onChange={(value) => {
          if (typeof value === 'number' && value > 0)
            onSale({ by: 'price_minor', value: Math.min(1e9, Math.round(value * scale)) });
        }}
        onEnd={onEnd}
      />
      <Slider
        label="Margin after fees, %"
        field="margin"
        value={margin_pct}
        low={0}
        high={80}
        step={0.5}
        problems={ofField('margin_pct')}
        {...(usualMargin_pct === null
          ? {}
          : { note: `Nothing says a price or a margin: ${usualMargin_pct} % is taken.` })}
        onChange={(value) => {
          if (typeof value === 'number' && value >= 0 && value <= 99.9) onSale({ by: 'margin_pct', value });
        }}
        onEnd={onEnd}
      />
      <Slider
        label="Asked for in a month"
        field="demand"
        value={perMonth}
        low={0}
        high={Math.max(20, Math.ceil((3 * (next?.perMonth ?? perMonth)) / 10) * 10)}
        step={0.5}
        problems={[]}
        onChange={put('demand_month', 0, 1e5)}
        onEnd={onEnd}
      />
      <Slider
        label="Learning rate, %"
        note="Time left with each doubling of the number made."
        field="learning"
        value={hand.change.learning_pct ?? tenth(100 * (unit.learning?.rate ?? 1))}
        low={70}
        high={100}
        step={1}
        problems={[]}
        onChange={put('learning_pct', 51, 100)}
        onEnd={onEnd}
      />
      <Slider
        label="Units lost, %"
        field="lost"
        value={hand.change.lost_pct ?? tenth(100 * unit.lostShare)}
        low={0}
        high={40}
        step={0.5}
        problems={[]}
        onChange={put('lost_pct', 0, 99)}
        onEnd={onEnd}
      />
    </section>
  );
}
