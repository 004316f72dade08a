/** A lot: what is left, every unit that holds a part of it, its inspections, its movements. */
import type { Inspection } from '../../../app/bench/state.ts';
import { recallTable } from '../../../app/bench/stores.ts';
import { lettersOfDraw } from '../../../app/bench/table-plan.ts';
import { getLot, type LotPage } from '../../api/bench.ts';
import { Problems } from '../../parts/problems.tsx';
import { DataTable } from '../../parts/table.tsx';
import { bench, unitOf } from '../../routes.ts';
import { format } from '../../state/settings.ts';
import { NotThere, Waiting } from '../waiting.tsx';
import { DeedForm, useAct } from './parts.tsx';
import { OnTheWay, Signer } from './signed.tsx';
import { UnitStrip } from './unit-strip.tsx';
import { useRead } from './use-read.ts';

export function LotPageView({ lot }: { readonly lot: string }) {
  const { value, problems } = useRead(`lot ${lot}`, () => getLot(lot));
  if (value === null) return problems.length === 0 ? <Waiting what={`lot ${lot}`} /> : <NotThere problems={problems} />;
  const { recall, inspections, movements } = value;
  return (
    <div class="page at-bench">
      <div class="thing">
        <b>Lot {lot}</b>
        <a href={bench}>Bench</a>
        <span>{recall.part}</span>
        <span>{recall.supplier}</span>
        <Signer />
      </div>
      <OnTheWay />
      <main>
        <h1>
          {recall.quarantined === null
            ? recall.left < 0
              ? `Lot ${lot} of ${recall.part} shows ${-recall.left} less than none: count it.`
              : `Lot ${lot} of ${recall.part}: ${recall.left} left.`
            : `Lot ${lot} of ${recall.part} is quarantined: ${recall.quarantined}.${recall.left < 0 ? ` It shows ${-recall.left} less than none: count it.` : ''}`}
        </h1>
        <Recall recall={recall} />
        <Keep lot={lot} quarantined={recall.quarantined !== null} />
        <Inspections
          lot={lot}
          list={inspections}
          quarantined={recall.quarantined !== null}
          next={value.next}
          source={`${recall.part} from ${recall.supplier}`}
        />
        <section aria-labelledby="moves-h">
          <h2 id="moves-h">Movements</h2>
          <DataTable
            caption="The newest first; what was left after each"
            file={`lot ${lot}`}
            columns={[
              { key: 'at', head: 'when' },
              { key: 'why', head: 'what' },
              { key: 'change', head: 'change', figures: true },
              { key: 'left', head: 'left', figures: true },
              { key: 'by', head: 'by' },
            ]}
            rows={movements.toReversed().map((m, i) => ({
              key: String(movements.length - i),
              cells: [
                format.value.moment(m.at),
                m.unit === null ? (
                  m.note === null ? (
                    m.why
                  ) : (
                    `${m.why}: ${m.note}`
                  )
                ) : (
                  <span key="u">
                    {m.why} <a href={unitOf(m.unit)}>{m.unit}</a>
                  </span>
                ),
                m.change > 0 ? `+${m.change}` : String(m.change).replace('-', '−'),
                m.left,
                m.by,
              ],
            }))}
            csv={() => [
              ['at', 'why', 'note', 'unit', 'change', 'left', 'by'],
              ...movements.map((m) => [m.at, m.why, m.note, m.unit, m.change, m.left, m.by]),
            ]}
          />
        </section>
      </main>
    </div>
  );
}

function Recall({ recall }: { readonly recall: LotPage['recall'] }) {
  return (
    <section aria-labelledby="recall-h">
      <h2 id="recall-h">Units that hold a part of it</h2>
      <p class="said">{recall.verdict}</p>
      {recall.customers.length === 0 ? null : (
        <ul class="plain-list">
          {recall.customers.map((c) => (
            <li key={c.customer}>
              <b>{c.customer}</b>, {c.orders.length === 1 ? 'order' : 'orders'} {c.orders.join(', ')}:{' '}
              {c.serials.map((serial, i) => (
                <span key={serial}>
                  {i === 0 ? '' : ', '}
                  <a href={unitOf(serial)}>{serial}</a>
                </span>
              ))}
            </li>
          ))}
        </ul>
      )}
      {recall.units.length === 0 ? null : (
        <DataTable
          caption="Those at customers’ first"
          file={`recall ${recall.lot}`}
          columns={[
            { key: 'serial', head: 'unit' },
            { key: 'strip', head: 'its year' },
            { key: 'count', head: 'pieces', figures: true },
            { key: 'stage', head: 'where' },
            { key: 'order', head: 'order' },
            { key: 'who', head: 'customer' },
            { key: 'when', head: 'shipped' },
          ]}
          rows={recall.units.map((u) => ({
            key: u.serial,
            cells: [
              <a key="a" href={unitOf(u.serial)}>
                {u.serial}
              </a>,
              <UnitStrip key="s" serial={u.serial} />,
              u.count,
              u.stage,
              u.order ?? '',
              u.customer ?? '',
              u.shippedAt === null ? '' : format.value.moment(u.shippedAt),
            ],
          }))}
          csv={() => recallTable(recall)}
        />
      )}
      {recall.units.length === 0 ? null : (
        <p class="table-files">
          <button type="button" class="plain" onClick={() => print()}>
            print the list
          </button>
        </p>
      )}
    </section>
  );
}

function Keep({ lot, quarantined }: { readonly lot: string; readonly quarantined: boolean }) {
  const word = quarantined ? 'release' : 'quarantine';
  return (
    <section aria-label="Quarantine and count">
      <details>
        <summary>{quarantined ? 'Release it' : 'Quarantine it'}</summary>
        <DeedForm
          key={word}
          id={word}
          button={quarantined ? 'Release the lot' : 'Quarantine the lot'}
          fields={[{ key: 'reason', label: 'reason' }]}
          deedOf={(v) => ({ deed: { deed: word, lot, reason: v['reason']! }, said: `${word} lot ${lot}` })}
        />
      </details>
      <details>
        <summary>Count it</summary>
        <DeedForm
          id="count"
          button="Write down what was counted"
          fields={[{ key: 'counted', label: 'pieces', figures: true }]}
          deedOf={(v) => {
            const counted = Number(v['counted']);
            return Number.isInteger(counted) && counted >= 0
              ? { deed: { deed: 'count', lot, counted }, said: `lot ${lot} counted: ${counted}` }
              : { code: 'not-a-count', message: `${v['counted']} is no count: whole pieces, none or more` };
          }}
        />
      </details>
      <details>
        <summary>Take from it, or give back to it</summary>
        <Move lot={lot} />
      </details>
    </section>
  );
}

const REASONS = ['scrapped', 'sold as parts', 'lent', 'given back', 'sent back'] as const;

function Move({ lot }: { readonly lot: string }) {
  return (
    <DeedForm
      id="move"
      button="Note the movement"
      fields={[
        { key: 'why', label: 'why', choices: REASONS.map((why) => [why, why] as const) },
        { key: 'pieces', label: 'pieces', figures: true },
        { key: 'note', label: 'remark', optional: true },
        {
          key: 'short',
          label: 'if there are too few',
          choices: [
            ['', 'refuse it'],
            ['short', 'take them all the same: the lot shows less than none'],
          ],
          optional: true,
        },
      ]}
      deedOf={(v) => {
        const pieces = Number(v['pieces']);
        if (!Number.isInteger(pieces) || pieces < 1)
          return { code: 'not-a-count', message: `pieces is ${v['pieces']}: a whole number from 1 is wanted` };
        const why = v['why'] as (typeof REASONS)[number];
        return {
          deed: {
            deed: 'move',
            lot,
            change: why === 'given back' ? pieces : -pieces,
            why,
            ...(v['note']?.trim() ? { note: v['note'].trim() } : {}),
            ...(v['short'] === 'short' ? { short: true } : {}),
          },
          said: `${pieces} of lot ${lot}, ${why}`,
        };
      }}
    />
  );
}

function Inspections({
  lot,
  list,
  quarantined,
  next,
  source,
}: {
  readonly lot: string;
  readonly list: readonly Inspection[];
  readonly quarantined: boolean;
  readonly next: LotPage['next'];
  readonly source: string;
}) {
  const { busy, problems, act } = useAct();
  const last = list.at(-1);
  const open = last !== undefined && last.found === null;
  const accepted = last?.found != null && last.found.verdict !== 'refused' && !quarantined;
  return (
    <section aria-labelledby="inspection-h">
      <h2 id="inspection-h">Incoming inspection</h2>
      <p class="quiet">
        {list.length === 0 ? 'This lot' : `The next lot of ${source}`}: inspection {next.why}.
      </p>
      {list.map((i) => (
        <div key={i.drawnAt}>
          <p>
            {i.sample} of {i.lotSize} drawn {format.value.moment(i.drawnAt)} ({lettersOfDraw(i)}): accepted with at most{' '}
            {i.accept} defective, refused from {i.reject}.{' '}
            {i.found === null ? <b>Look at pieces {i.drawn.join(', ')}.</b> : null}
            {i.found === null ? '' : `${i.found.by} found ${i.found.defective.length} defective: ${i.found.verdict}.`}
          </p>
          {i.found === null || i.found.defective.length === 0 ? null : (
            <ul class="plain-list">
              {i.found.defective.map((d) => (
                <li key={d.position}>
                  piece {d.position}: {d.why}
                </li>
              ))}
            </ul>
          )}
        </div>
      ))}
      {open ? (
        <DeedForm
          id="inspect"
          button="Tell what was found"
          fields={[
            {
              key: 'defective',
              label: 'defective pieces',
              optional: true,
              hint: 'position and reason, such as 17 dented; 40 cracked; left empty: all were good',
            },
          ]}
          deedOf={(v) => {
            const parts = (v['defective'] ?? '').split(/[;\n]/).filter((s) => s.trim() !== '');
            const read = parts.map((text) => /^\s*(\d+)[:\s]+(\S.*)$/.exec(text));
            const bad = read.indexOf(null);
            if (bad >= 0)
              return {
                code: 'no-defect',
                message: `“${parts[bad]!.trim()}” is no position with a reason, such as 17 dented`,
              };
            const defective = read.map((m) => ({ position: Number(m![1]), why: m![2]!.trim() }));
            return { deed: { deed: 'inspect', lot, defective }, said: `inspection of lot ${lot}` };
          }}
        />
      ) : accepted ? null : (
        <p>
          <button
            type="button"
            disabled={busy}
            onClick={() => void act({ deed: 'draw', lot }, `draw a sample of lot ${lot}`)}
          >
            Draw a sample
          </button>
        </p>
      )}
      <Problems list={problems} />
    </section>
  );
}
