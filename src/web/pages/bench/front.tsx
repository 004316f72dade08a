/** The bench: where the batch stands and what wants a hand; then one of its parts: units, quality, orders, papers, stores. */
import { useState } from 'preact/hooks';
import type { BatchPage, BenchFront, BenchMatter } from '../../../app/bench/front.ts';
import { batchGrid, batchGridLayout, batchGridSentence } from '../../../report/index.ts';
import { getBatch, getBench } from '../../api/bench.ts';
import { Picture, useWidth } from '../../parts/picture.tsx';
import { Problems } from '../../parts/problems.tsx';
import { BENCH_PARTS, type BenchPart, batchOf, benchOf, costOf, go, lotOf, unitOf } from '../../routes.ts';
import { format } from '../../state/settings.ts';
import { Waiting } from '../waiting.tsx';
import { dayShown } from './days.ts';
import { Find } from './find.tsx';
import { MarketPapers } from './market.tsx';
import { Orders } from './orders.tsx';
import { BatchPapers } from './papers.tsx';
import { DeedForm } from './parts.tsx';
import { Quality } from './quality.tsx';
import { OnTheWay, Signer } from './signed.tsx';
import { Stores } from './stores.tsx';
import { Tables } from './tables.tsx';
import { Units } from './units.tsx';
import { useRead } from './use-read.ts';

/** The batch that was asked for, or the newest that is still running. */
function batchInHand(front: BenchFront, asked: string | undefined): string | undefined {
  if (asked !== undefined) return asked;
  return (front.batches.findLast((b) => b.closedAt === null) ?? front.batches.at(-1))?.batch;
}

interface FrontProps {
  readonly batch: string | undefined;
  readonly part: BenchPart;
}

export function BenchFrontPage({ batch: asked, part }: FrontProps) {
  const front = useRead('bench', getBench);
  const key = front.value === null ? undefined : batchInHand(front.value, asked);
  const batch = useRead(key ?? null, () => getBatch(key!));
  if (front.value === null)
    return front.problems.length === 0 ? (
      <Waiting what="the bench" />
    ) : (
      <div class="page">
        <OnTheWay />
        <main>
          <h1>The bench cannot be read.</h1>
          <Problems list={front.problems} />
          <div class="actions">
            <button type="button" class="main" onClick={front.again}>
              Try again
            </button>
          </div>
        </main>
      </div>
    );
  const { batches } = front.value;
  return (
    <div class="page at-bench">
      <div class="thing">
        <b>Bench</b>
        {batches.length > 1 && key !== undefined ? (
          <label>
            batch{' '}
            <select class="inline" value={key} onChange={(event) => go(batchOf(event.currentTarget.value, part))}>
              {batches.map((b) => (
                <option key={b.batch} value={b.batch}>
                  {b.name}
                </option>
              ))}
            </select>
          </label>
        ) : null}
        <Due batch={batches.find((b) => b.batch === key)} />
        <Signer />
      </div>
      <OnTheWay />
      <main>
        <h1>
          {batch.value?.said ??
            (key === undefined
              ? front.value.verdict
              : (batches.find((b) => b.batch === key)?.sentence ?? 'Reading the batch …'))}
        </h1>
        <Problems list={batch.problems} />
        <Find />
        <Parts batch={key} part={part} />
        <Part part={part} front={front.value} batch={key} page={batch.value} />
      </main>
    </div>
  );
}

const TITLES: Readonly<Record<BenchPart, string>> = {
  units: 'Units',
  quality: 'Quality',
  orders: 'Orders',
  papers: 'Papers',
  stores: 'Stores',
};

function Parts({ batch, part }: FrontProps) {
  return (
    <nav class="parts-of-bench" aria-label="Parts of the bench">
      {BENCH_PARTS.map((one) => (
        <a key={one} href={benchOf(batch, one)} aria-current={one === part ? 'page' : undefined}>
          {TITLES[one]}
        </a>
      ))}
      <a href={costOf(batch)}>Money</a>
    </nav>
  );
}

interface PartProps extends FrontProps {
  readonly front: BenchFront;
  readonly page: BatchPage | null;
}

function Part({ part, front: { attention, orders, plans, batches }, batch, page }: PartProps) {
  if (part === 'orders') return <Orders orders={orders} plans={plans} page={page} />;
  if (part === 'stores')
    return (
      <>
        <Stores />
        <Tables />
      </>
    );
  if (batch !== undefined && page === null) return null;
  if (batch === undefined || page === null)
    return (
      <>
        {part === 'units' ? <Matters list={attention} /> : null}
        <NewBatch plans={plans} open={batches.length === 0} />
      </>
    );
  const { name, plan, region } = page.look;
  switch (part) {
    case 'units':
      return (
        <>
          <Grid page={page} />
          <Matters list={attention} />
          <Units page={page} />
          <NewBatch plans={plans} open={false} />
        </>
      );
    case 'quality':
      return <Quality batch={batch} name={name} />;
    case 'papers':
      return (
        <>
          <BatchPapers key={batch} batch={batch} plan={plan} region={region} orders={orders} />
          <MarketPapers key={`market ${batch}`} batch={batch} region={region} />
        </>
      );
  }
}

function NewBatch({ plans, open }: Pick<BenchFront, 'plans'> & { readonly open: boolean }) {
  return (
    <details open={open}>
      <summary>Open a batch</summary>
      {plans.length === 0 ? (
        <p class="said">
          There is no build plan yet: write one and save it with <code>sunperch batch plan FILE</code>.
        </p>
      ) : (
        <OpenBatch plans={plans} />
      )}
    </details>
  );
}

function Due({ batch }: { readonly batch: BenchFront['batches'][number] | undefined }) {
  if (batch === undefined) return null;
  return (
    <>
      <span>
        {batch.count} for {batch.region}
      </span>
      {batch.due === null ? null : <span>due {dayShown(batch.due)}</span>}
      {batch.closedAt === null ? null : <span>closed {format.value.moment(batch.closedAt)}</span>}
    </>
  );
}

function Grid({ page: { look } }: { readonly page: BatchPage }) {
  const input = { name: look.name, units: look.units, steps: look.steps };
  // The width that the picture below is laid out for: the same rule, so that places fit.
  const { ref, width } = useWidth<HTMLDivElement>(720);
  const drawn = Math.max(280, Math.min(752, width));
  const layout = batchGridLayout(input, drawn);
  const stops = () => layout.cells.map(({ x, y }) => ({ x: x / drawn, y: y / layout.height }));
  const at = (stop: number | undefined) => (stop === undefined ? undefined : layout.cells[stop]);
  return (
    <div ref={ref}>
      <Picture
        id="batch-grid"
        heading="At a glance"
        said={batchGridSentence(input)}
        name={look.name}
        most={752}
        least={280}
        draw={(o) => batchGrid(input, o)}
        stops={stops}
        readout={({ stop }) => {
          const cell = at(stop);
          return cell === undefined ? '' : `${cell.serial}: ${cell.standing}, ${cell.row}`;
        }}
        onPick={({ stop }) => {
          const cell = at(stop);
          if (cell !== undefined) go(unitOf(cell.serial));
        }}
        csv={() => [['serial', 'standing', 'next_step'], ...look.units.map((u) => [u.serial, u.standing, u.nextStep])]}
      />
    </div>
  );
}

/** Matters shown before one asks for the rest. */
const FIRST = 6;

function Matters({ list }: { readonly list: readonly BenchMatter[] }) {
  const [all, setAll] = useState(false);
  if (list.length === 0) return null;
  return (
    <section aria-labelledby="matters-h">
      <h2 id="matters-h">What wants a hand</h2>
      <ul class="attention">
        {(all ? list : list.slice(0, FIRST)).map((m) => (
          <li key={m.text}>
            {m.text.replace(/^./, (c) => c.toUpperCase())}{' '}
            {m.lot ? <a href={lotOf(m.lot)}>to the lot</a> : m.unit ? <a href={unitOf(m.unit)}>to the unit</a> : null}
          </li>
        ))}
      </ul>
      {list.length > FIRST && !all ? (
        <p>
          <button type="button" class="plain" onClick={() => setAll(true)}>
            and {list.length - FIRST} more
          </button>
        </p>
      ) : null}
    </section>
  );
}

const REGIONS = ['EU', 'UK', 'US', 'AU', 'NZ', 'JP', 'IN'] as const;

function OpenBatch({ plans }: Pick<BenchFront, 'plans'>) {
  return (
    <DeedForm
      id="open-batch"
      button="Open the batch"
      fields={[
        { key: 'batch', label: 'key', hint: 'small letters and digits, such as a-08' },
        { key: 'plan', label: 'plan', choices: plans.map((p) => [p.plan, `${p.name}, number ${p.number}`] as const) },
        { key: 'count', label: 'units', figures: true },
        { key: 'region', label: 'region', choices: REGIONS.map((r) => [r, r] as const) },
        { key: 'prefix', label: 'serials begin with', optional: true, hint: 'left empty: made from the key' },
        { key: 'due', label: 'due', optional: true, date: true },
      ]}
      deedOf={(v) => {
        const count = Number(v['count']);
        if (!Number.isInteger(count) || count < 1)
          return { code: 'not-a-count', message: `units is ${v['count']}: a whole number from 1 is wanted` };
        return {
          deed: {
            deed: 'open-batch',
            batch: v['batch']!.trim(),
            plan: v['plan']!,
            count,
            region: v['region'] as (typeof REGIONS)[number],
            ...(v['prefix'] ? { prefix: v['prefix'].trim() } : {}),
            ...(v['due'] ? { due: v['due'] } : {}),
          },
          said: `open batch ${v['batch']}`,
        };
      }}
    />
  );
}
