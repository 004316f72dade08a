/** What a unit costs, what to ask for it, and what follows; the assumptions stand beside it as text. */
import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { PriceOutcome } from '../../../app/bench/cost-price.ts';
import { currencyDigits } from '../../../core/money/index.ts';
import type { Problem } from '../../../core/units/index.ts';
import { type CostQuestion, getBench } from '../../api/bench.ts';
import { TextView } from '../../forms/text-view.tsx';
import { fileName } from '../../parts/csv.ts';
import { saveText } from '../../parts/download.ts';
import { FileDrop } from '../../parts/file-drop.tsx';
import { Problems } from '../../parts/problems.tsx';
import { Slider } from '../../parts/slider.tsx';
import { batchOf, bench, costOf, go } from '../../routes.ts';
import {
  type CostHand,
  type CostReading,
  readAssumptions,
  rememberedHand,
  rememberHand,
  useCost,
} from '../../state/cost.ts';
import { useHistory } from '../../state/history.ts';
import { format } from '../../state/settings.ts';
import { EXAMPLE } from './cost-example.ts';
import { Crossover, Next, Notes, RollUp, sumIn, Ways } from './cost-sections.tsx';
import { useRead } from './use-read.ts';

const EMPTY: CostHand = { text: '', sale: null };
/** Where neither the assumptions nor the hand say a price or a margin. */
const USUAL_MARGIN_pct = 30;

export function CostPage({ batch }: { readonly batch?: string }) {
  const history = useHistory(useMemo(() => JSON.stringify(rememberedHand() ?? EMPTY), []));
  const hand = useMemo(() => JSON.parse(history.now) as CostHand, [history.now]);
  useEffect(() => rememberHand(hand), [hand]);
  const gesture = useRef(0);
  const put = (next: Partial<CostHand>, name: string) =>
    history.put(JSON.stringify({ ...hand, ...next }), `${name} ${gesture.current}`);
  const reading = useMemo(() => readAssumptions(hand.text), [hand.text]);
  const front = useRead('bench', getBench);
  // What was well is shown on while the text has a slip.
  const lastGood = useRef('');
  if (reading.ok) lastGood.current = hand.text;
  const text = lastGood.current;
  const file = useMemo(() => fileOf(readAssumptions(text)), [text]);
  const known = batch !== undefined || file?.unit !== undefined;
  const common = {
    ...(batch === undefined ? {} : { what: batch }),
    ...(text.trim() === '' ? {} : { assumptions: text }),
  };
  const ask = <A extends CostQuestion['ask']>(which: A, when: boolean, more: object = {}) =>
    when ? { ...common, ...more, ask: which } : null;
  const asked = sold(hand, file);
  const cost = useCost(ask('unit', known));
  const price = useCost(ask('price', known, asked));
  const at = price.value === null ? null : { price_minor: price.value.price_minor };
  const even = useCost(ask('break-even', at !== null && (file?.fixed_minor ?? 0) > 0, at ?? {}));
  const next = useCost(ask('next', at !== null, at ?? {}));
  const cross = useCost(ask('crossover', file?.housing !== undefined));
  const ways = useCost(ask('ways', (file?.ways.length ?? 0) > 0));
  const stale = !reading.ok || cost.stale;
  return (
    <div class="page at-bench at-cost">
      <div class="thing">
        <b>Cost</b>
        <label>
          of{' '}
          <select
            class="inline"
            value={batch ?? ''}
            onChange={(event) => go(costOf(event.currentTarget.value || undefined))}
          >
            <option value="">the unit of the assumptions</option>
            {(front.value?.batches ?? []).map((b) => (
              <option key={b.batch} value={b.batch}>
                {b.name}
              </option>
            ))}
          </select>
        </label>
        <a href={batch === undefined ? bench : batchOf(batch)}>to the bench</a>
      </div>
      <h1 aria-live="polite">
        {cost.value?.verdict ?? (known ? 'Reckoning the cost …' : 'Name a batch, or say below what a unit is made of.')}
      </h1>
      <Problems list={cost.problems} />
      <div class={stale ? 'cost-body stale' : 'cost-body'}>
        <main>
          {cost.value === null ? null : <RollUp cost={cost.value} />}
          {!known || cost.value === null ? null : (
            <Price
              outcome={price.value}
              problems={price.problems}
              hand={hand}
              cost_minor={cost.value.cost_minor}
              currency={cost.value.currency}
              guessed={asked['margin_pct'] !== undefined && hand.sale === null}
              onSale={(sale) => put({ sale }, sale.by)}
              onEnd={() => gesture.current++}
            />
          )}
          {even.value === null && even.problems.length === 0 ? null : (
            <section aria-labelledby="even-h">
              <h2 id="even-h">When it has paid</h2>
              <p class="said">{even.value?.verdict}</p>
              <Problems list={even.problems} />
            </section>
          )}
          {next.value === null ? (
            <Lacking heading="How many next" id="next-lacking" list={next.problems} />
          ) : (
            <Next outcome={next.value} />
          )}
          {cross.value === null ? null : <Crossover outcome={cross.value} />}
          <Problems list={cross.problems} />
          {ways.value === null ? null : <Ways outcome={ways.value} />}
          <Problems list={ways.problems} />
        </main>
      </div>
      <section id="assumptions" aria-labelledby="assumptions-h">
        <h2 id="assumptions-h">What is assumed</h2>
        <p class="said">{assumedSentence(reading, hand.text)}</p>
        <div class="actions">
          <button type="button" disabled={!history.canUndo} onClick={history.undo}>
            Undo
          </button>
          <button type="button" disabled={!history.canRedo} onClick={history.redo}>
            Redo
          </button>
          <button
            type="button"
            class="plain"
            disabled={hand.text === EXAMPLE}
            onClick={() => history.put(JSON.stringify({ text: EXAMPLE, sale: null }))}
          >
            put an example in
          </button>
          <button
            type="button"
            class="plain"
            disabled={hand.text.trim() === ''}
            onClick={() => saveText(fileName('cost assumptions', 'yaml'), hand.text, 'application/yaml')}
          >
            save as a file
          </button>
        </div>
        <TextView
          text={hand.text}
          problems={reading.ok ? [] : reading.problems}
          onChange={(value) => put({ text: value }, 'text')}
        />
        <details>
          <summary>Take a file</summary>
          <FileDrop
            label="Assumptions (YAML), as the command line takes them"
            accept=".yaml,.yml,.json"
            onFiles={async ([one]) => {
              if (one !== undefined) history.put(JSON.stringify({ text: await one.text(), sale: null }));
            }}
          />
        </details>
      </section>
    </div>
  );
}

const fileOf = (reading: CostReading) => (reading.ok ? reading.file : null);

/** Price or margin that is asked with: of the hand, else of the text, else the usual one. */
function sold({ sale }: CostHand, file: ReturnType<typeof fileOf>): Readonly<Record<string, number>> {
  if (sale !== null) return { [sale.by]: sale.value };
  if (file?.price_minor !== undefined || file?.margin !== undefined) return {};
  return { margin_pct: USUAL_MARGIN_pct };
}

function assumedSentence(reading: CostReading, text: string): string {
  if (!reading.ok)
    return reading.problems.length === 1
      ? 'One thing is to be mended; what is shown above is from before.'
      : `${reading.problems.length} things are to be mended; what is shown above is from before.`;
  if (text.trim() === '')
    return 'Nothing is assumed yet: no price of an hour, no fees, no returns. Put an example in and change what differs.';
  return 'What the bench has measured goes before what stands here. It is kept in this browser.';
}

function Lacking({
  heading,
  id,
  list,
}: {
  readonly heading: string;
  readonly id: string;
  readonly list: readonly Problem[];
}) {
  if (list.length === 0) return null;
  return (
    <section aria-labelledby={id}>
      <h2 id={id}>{heading}</h2>
      <Problems list={list} />
    </section>
  );
}

interface PriceProps {
  readonly outcome: PriceOutcome | null;
  readonly problems: readonly Problem[];
  readonly hand: CostHand;
  readonly cost_minor: number;
  readonly currency: string;
  readonly guessed: boolean;
  readonly onSale: (sale: NonNullable<CostHand['sale']>) => void;
  readonly onEnd: () => void;
}

/** Two sliders that say the same: either one moves the other. */
function Price(props: PriceProps) {
  const { outcome, problems, hand, cost_minor, currency, onSale, onEnd } = props;
  const digits = currencyDigits(currency);
  const scale = 10 ** digits;
  const own = (by: NonNullable<CostHand['sale']>['by']) => (hand.sale?.by === by ? hand.sale.value : undefined);
  const margin_pct = own('margin_pct') ?? Math.round(1000 * (outcome?.margin ?? 0)) / 10;
  const price_minor = own('price_minor') ?? outcome?.price_minor ?? cost_minor;
  const most = Math.max(1, Math.ceil((4 * cost_minor) / scale / 10) * 10, Math.ceil(price_minor / scale));
  const text = sumIn(currency);
  const ofField = (by: string) => (hand.sale === null || hand.sale.by === by ? problems : []);
  return (
    <section class="cost-price" aria-labelledby="price-h">
      <h2 id="price-h">What to ask for it</h2>
      <p class="said">{outcome?.verdict ?? 'No price follows from this.'}</p>
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
        label="Margin after fees"
        field="margin_pct"
        value={margin_pct}
        low={0}
        high={80}
        step={0.5}
        problems={ofField('margin_pct')}
        {...(props.guessed ? { note: `Nothing says a price or a margin: ${USUAL_MARGIN_pct} % is taken.` } : {})}
        onChange={(value) => {
          if (typeof value === 'number' && value >= 0 && value <= 99.9) onSale({ by: 'margin_pct', value });
        }}
        onEnd={onEnd}
      />
      {outcome === null ? null : (
        <>
          <dl class="cost-parts">
            {(
              [
                ['cost', outcome.cost_minor],
                ['fees', outcome.fees_minor],
                ['stays', outcome.profit_minor],
                ['net price', outcome.price_minor],
                ...(outcome.tax_pct > 0 ? [['with tax', outcome.gross_minor] as const] : []),
              ] as const
            ).map(([what, minor]) => (
              <div key={what}>
                <dt>{what}</dt>
                <dd>{text(minor)}</dd>
              </div>
            ))}
          </dl>
          <Notes
            list={[
              `margin ${format.value.percent(outcome.margin)} of the price, mark-up ${format.value.percent(outcome.markup)} of the cost`,
            ]}
          />
        </>
      )}
    </section>
  );
}
