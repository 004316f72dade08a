/** A unit that is stopped: what stopped it, and beside it the ways on: reworked, let past on somebody's word, or written down wrongly. */
import { signer } from '../../state/bench.ts';
import { format } from '../../state/settings.ts';
import { GateField, valueShown } from './gate-field.tsx';
import type { Overlaid } from './overlay.ts';
import { DeedForm, type FieldOf } from './parts.tsx';

const REASON: FieldOf = { key: 'reason', label: 'reason' };

export function Stopped({ overlaid: { page, waits } }: { readonly overlaid: Overlaid }) {
  const { unit, asked } = page;
  const { serial } = unit;
  const failed = unit.gates.filter((g) => g.state === 'failed');
  return (
    <section class="stopped" aria-labelledby="stopped-h">
      <h2 id="stopped-h" class="unseen">
        What stopped it
      </h2>
      {failed.map((g) => {
        const last = g.tries.at(-1);
        return (
          <p key={g.gate}>
            <b>
              {g.name}: {valueShown(g.value, g.unit)}
            </b>
            {g.limit === '' ? '' : `, wanted ${g.limit}`}
            {last === undefined || waits.has(`gate ${g.gate}`) ? null : (
              <span class="quiet">
                ; {last.by}, {format.value.moment(last.at)}
              </span>
            )}
          </p>
        );
      })}
      <div class="ways-on">
        <div>
          <h3>Rework it</h3>
          <DeedForm
            id="rework"
            button="Begin the rework"
            fields={[REASON]}
            deedOf={(v) => ({
              deed: { deed: 'rework', unit: serial, reason: v['reason']! },
              said: `begin a rework of ${serial}`,
            })}
          />
        </div>
        <LetPast serial={serial} gates={failed} id="past" />
      </div>
      <details>
        <summary>It was written down wrongly</summary>
        <p class="quiet">The value that you write here takes the place of the wrong one, which stays in the record.</p>
        {failed.map((g) => (
          <GateField
            key={g.gate}
            serial={serial}
            gate={g}
            asked={asked.find((a) => a.gate === g.gate)!}
            waits={waits.has(`gate ${g.gate}`)}
            correct
          />
        ))}
      </details>
    </section>
  );
}

/** Past a gate on somebody's word; the one who signs is the first guess. */
export function LetPast(props: {
  readonly serial: string;
  readonly gates: readonly { readonly gate: string; readonly name: string }[];
  readonly id: string;
  readonly heading?: boolean;
}) {
  const { serial, gates, id, heading = true } = props;
  const [only] = gates;
  return (
    <div>
      {heading ? <h3>Or let it past</h3> : null}
      <p class="quiet">Name and reason stand on its certificate.</p>
      <DeedForm
        id={id}
        button="Override the gate"
        fields={[
          ...(gates.length > 1
            ? [{ key: 'gate', label: 'gate', choices: gates.map((g) => [g.gate, g.name] as const) }]
            : []),
          { key: 'name', label: 'who answers for it', start: signer.peek().trim() },
          REASON,
        ]}
        deedOf={(v) => {
          const gate = v['gate'] ?? only!.gate;
          return {
            deed: { deed: 'override', unit: serial, gate, name: v['name']!, reason: v['reason']! },
            said: `override ${gates.find((g) => g.gate === gate)?.name ?? gate} of ${serial}`,
          };
        }}
      />
    </div>
  );
}
