/** What a unit costs, what to ask for it, and what follows; what is tried out and what is assumed stand beside it. */
import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { CostOverview } from '../../../app/bench/cost-overview.ts';
import type { BenchFront } from '../../../app/bench/front.ts';
import type { Problem } from '../../../core/units/index.ts';
import { getBench } from '../../api/bench.ts';
import { TextView } from '../../forms/text-view.tsx';
import { fileName } from '../../parts/csv.ts';
import { saveText } from '../../parts/download.ts';
import { FileDrop } from '../../parts/file-drop.tsx';
import { Problems } from '../../parts/problems.tsx';
import { batchOf, bench, costOf, go } from '../../routes.ts';
import {
  type CostHand,
  type CostReading,
  NOTHING_IN_HAND,
  readAssumptions,
  rememberedHand,
  rememberHand,
  useCost,
} from '../../state/cost.ts';
import { type History, useHistory } from '../../state/history.ts';
import { format } from '../../state/settings.ts';
import { EXAMPLE } from './cost-example.ts';
import { Notes, RollUp, sumIn } from './cost-lines.tsx';
import { Crossover, Even, Next } from './cost-pictures.tsx';
import { TryOut } from './cost-try.tsx';
import { Ways } from './cost-ways.tsx';
import { useRead } from './use-read.ts';
import './cost.css';

/** Where neither the assumptions nor the hand say a price or a margin. */
const USUAL_MARGIN_pct = 30;

export function CostPage({ batch: what }: { readonly batch?: string }) {
  const history = useHistory(useMemo(() => JSON.stringify(rememberedHand() ?? NOTHING_IN_HAND), []));
  const hand = useMemo(() => JSON.parse(history.now) as CostHand, [history.now]);
  useEffect(() => rememberHand(hand), [hand]);
  const gesture = useRef(0);
  const put = (next: Partial<CostHand>, name: string) =>
    history.put(JSON.stringify({ ...hand, ...next }), `${name} ${gesture.current}`);
  const onEnd = () => {
    gesture.current++;
  };
  const reading = useMemo(() => readAssumptions(hand.text), [hand.text]);
  const front = useRead('bench', getBench);
  // What was well is shown on while the text has a slip.
  const lastGood = useRef('');
  if (reading.ok) lastGood.current = hand.text;
  const text = lastGood.current;
  const file = useMemo(() => fileOf(readAssumptions(text)), [text]);
  const known = what !== undefined || file?.unit !== undefined;
  const guessed = hand.sale === null && file?.price_minor === undefined && file?.margin === undefined;
  const asked = useCost(
    known
      ? {
          ...(what === undefined ? {} : { what }),
          ...(text.trim() === '' ? {} : { assumptions: text }),
          ...(hand.sale === null
            ? guessed
              ? { margin_pct: USUAL_MARGIN_pct }
              : {}
            : { [hand.sale.by]: hand.sale.value }),
          ...(hand.seed === null ? {} : { seed: hand.seed }),
          change: hand.change,
        }
      : null,
  );
  const outcome = asked.value;
  const tried = hand.sale !== null || hand.seed !== null || Object.keys(hand.change).length > 0;
  return (
    <div class="page at-bench at-cost">
      <div class="thing">
        <b>Cost</b>
        <Chooser what={what} front={front.value} />
        <a href={backOf(what, front.value)}>to the bench</a>
      </div>
      <h1 aria-live="polite">{outcome?.verdict ?? openingOf(known, asked.problems)}</h1>
      <Problems list={asked.problems} />
      {outcome === null ? null : (
        <div class={!reading.ok || asked.problems.length > 0 ? 'cost-body stale' : 'cost-body'}>
          <aside>
            <TryOut
              outcome={outcome}
              hand={hand}
              problems={outcome.lacking.price ?? []}
              usualMargin_pct={guessed ? USUAL_MARGIN_pct : null}
              onSale={(sale) => put({ sale }, sale.by)}
              onChange={(change, of) => put({ change }, of)}
              onEnd={onEnd}
            />
            <Steps history={history}>
              <button
                type="button"
                class="plain"
                disabled={!tried}
                onClick={() => history.put(JSON.stringify({ ...NOTHING_IN_HAND, text: hand.text }))}
              >
                as it stands
              </button>
            </Steps>
            <p class="quiet drawn-with">
              {format.value.figure(outcome.draws, 5)} draws, seed {outcome.seed}{' '}
              <button
                type="button"
                class="plain"
                onClick={() => history.put(JSON.stringify({ ...hand, seed: Math.floor(Math.random() * 2 ** 31) }))}
              >
                draw again
              </button>
            </p>
          </aside>
          <main>
            <Price outcome={outcome} />
            {outcome.breakEven === null ? null : <Even outcome={outcome.breakEven} />}
            <Lacking heading="When it has paid" id="even-lacking" list={outcome.lacking.breakEven} />
            {outcome.next === null ? null : <Next outcome={outcome.next} elsewhere={outcome.notes} />}
            <Lacking heading="How many next" id="next-lacking" list={outcome.lacking.next} />
            <RollUp cost={outcome.unit} />
            {outcome.crossover === null ? null : <Crossover outcome={outcome.crossover} />}
            {outcome.ways === null ? null : <Ways outcome={outcome.ways} />}
            <Lacking heading="Ways to sell it" id="ways-lacking" list={outcome.lacking.ways} />
          </main>
        </div>
      )}
      <Assumptions {...{ hand, history, reading }} onText={(value) => put({ text: value }, 'text')} />
    </div>
  );
}

const fileOf = (reading: CostReading) => (reading.ok ? reading.file : null);

function openingOf(known: boolean, problems: readonly Problem[]): string {
  if (!known) return 'Name a batch or a plan, or say below what a unit is made of.';
  return problems.length > 0 ? 'The cost cannot be told yet.' : 'Reckoning the cost …';
}

function backOf(what: string | undefined, front: BenchFront | null): string {
  return what !== undefined && front?.batches.some((b) => b.batch === what) ? batchOf(what) : bench;
}

function Chooser({ what, front }: { readonly what: string | undefined; readonly front: BenchFront | null }) {
  return (
    <label>
      of{' '}
      <select
        class="inline"
        value={what ?? ''}
        onChange={(event) => go(costOf(event.currentTarget.value || undefined))}
      >
        <option value="">the unit of the assumptions</option>
        <optgroup label="Batches: what it did cost">
          {(front?.batches ?? []).map((b) => (
            <option key={b.batch} value={b.batch}>
              {b.name}
            </option>
          ))}
        </optgroup>
        <optgroup label="Plans: what the next one will cost">
          {(front?.plans ?? []).map((p) => (
            <option key={p.plan} value={p.plan}>
              {p.name}
            </option>
          ))}
        </optgroup>
      </select>
    </label>
  );
}

function Steps({ history, children }: { readonly history: History; readonly children?: preact.ComponentChildren }) {
  return (
    <div class="actions">
      <button type="button" disabled={!history.canUndo} onClick={history.undo}>
        Undo
      </button>
      <button type="button" disabled={!history.canRedo} onClick={history.redo}>
        Redo
      </button>
      {children}
    </div>
  );
}

function Price({ outcome }: { readonly outcome: CostOverview }) {
  const { price, unit } = outcome;
  const text = sumIn(outcome.currency);
  return (
    <section class="cost-price" aria-labelledby="price-h">
      <h2 id="price-h">What to ask for it</h2>
      <p class="said">{price?.verdict ?? 'No price follows from this.'}</p>
      {price === null ? null : (
        <>
          <dl class="cost-parts">
            {(
              [
                ['cost', unit.cost_minor],
                ['fees', price.fees_minor],
                ['stays', price.profit_minor],
                ['net price', price.price_minor],
                ...(price.tax_pct > 0 ? [['with tax', price.gross_minor] as const] : []),
              ] as const
            ).map(([what, minor]) => (
              <div key={what}>
                <dt>
                  {what}, {outcome.currency}
                </dt>
                <dd>{text(minor)}</dd>
              </div>
            ))}
          </dl>
          <Notes
            list={[
              `margin ${format.value.percent(price.margin)} of the price, mark-up ${format.value.percent(price.markup)} of the cost`,
            ]}
          />
        </>
      )}
    </section>
  );
}

function Lacking(props: {
  readonly heading: string;
  readonly id: string;
  readonly list: readonly Problem[] | undefined;
}) {
  const { heading, id, list = [] } = props;
  if (list.length === 0) return null;
  return (
    <section aria-labelledby={id}>
      <h2 id={id}>{heading}</h2>
      <Problems list={list} />
    </section>
  );
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

interface AssumptionsProps {
  readonly hand: CostHand;
  readonly history: History;
  readonly reading: CostReading;
  readonly onText: (text: string) => void;
}

function Assumptions({ hand, history, reading, onText }: AssumptionsProps) {
  const take = (text: string) => history.put(JSON.stringify({ ...NOTHING_IN_HAND, text }));
  return (
    <section id="assumptions" aria-labelledby="assumptions-h">
      <h2 id="assumptions-h">What is assumed</h2>
      <p class="said">{assumedSentence(reading, hand.text)}</p>
      <Steps history={history}>
        <button type="button" class="plain" disabled={hand.text === EXAMPLE} onClick={() => take(EXAMPLE)}>
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
      </Steps>
      <TextView text={hand.text} problems={reading.ok ? [] : reading.problems} onChange={onText} />
      <details>
        <summary>Take a file</summary>
        <FileDrop
          label="Assumptions (YAML), as the command line takes them"
          accept=".yaml,.yml,.json"
          onFiles={async ([one]) => {
            if (one !== undefined) take(await one.text());
          }}
        />
      </details>
    </section>
  );
}
