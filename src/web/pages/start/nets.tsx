/** The nets of the workshop: each opens to its members, with the winter of every kit at its perch. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Problem } from '../../../core/units/index.ts';
import type { RecordSummary } from '../../../server/api.ts';
import { Problems } from '../../parts/problems.tsx';
import { StateWord } from '../../parts/state-sign.tsx';
import { Strip } from '../../parts/strip.tsx';
import { editorOf, energyOf, newOf, reachOf } from '../../routes.ts';
import { looks, type Pair, pairKey } from '../../state/pairs.ts';
import { format } from '../../state/settings.ts';
import { byId, callProblems, loadRecord, nets } from '../../state/workshop.ts';
import { useLook } from './record-row.tsx';

/** Members shown at once. */
const MOST = 200;

interface Member {
  readonly kit: string;
  readonly perch: string;
}

export function Nets() {
  return (
    <section aria-labelledby="nets-h">
      <div class="headed">
        <h2 id="nets-h">Nets</h2>
        <a href={newOf('net')}>new net</a>
      </div>
      <p class="said">
        {nets.value.length === 0
          ? 'None yet: perches with kits that share one radio setting.'
          : 'Perches with kits that share one radio setting; each opens to its members.'}
      </p>
      {nets.value.map((net) => (
        <NetRow key={net.id} net={net} />
      ))}
    </section>
  );
}

function membersIn(value: unknown): readonly Member[] {
  const { members } = (value ?? {}) as { readonly members?: unknown };
  return Array.isArray(members) ? (members as readonly Member[]) : [];
}

function NetRow({ net }: { readonly net: RecordSummary }) {
  const [open, setOpen] = useState(false);
  const [members, setMembers] = useState<readonly Member[] | null>(null);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  useEffect(() => {
    if (!open) return;
    let here = true;
    loadRecord(net.id).then(
      (record) => here && setMembers(membersIn(record.value)),
      (error: unknown) => here && setProblems(callProblems(error)),
    );
    return () => {
      here = false;
    };
  }, [open, net.id, net.revision]);
  return (
    <details class="net" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        {net.name} <span class="quiet">saved {format.value.moment(net.saved)}</span>
      </summary>
      <p>
        <a href={editorOf('net', net.id)}>edit {net.name}</a>
      </p>
      <Problems list={problems} />
      {!open || members === null ? null : (
        <ul class="records">
          {members.slice(0, MOST).map((m, i) => (
            <MemberRow key={m.perch} id={`${net.id}-${i}`} member={m} />
          ))}
        </ul>
      )}
      {members !== null && members.length > MOST ? (
        <p class="quiet">
          {format.value.figure(MOST, 9)} of {format.value.figure(members.length, 9)} members.
        </p>
      ) : null}
    </details>
  );
}

function MemberRow({ id, member }: { readonly id: string; readonly member: Member }) {
  const ref = useRef<HTMLLIElement>(null);
  const [kit, perch] = [byId.value.get(`kit:${member.kit}`), byId.value.get(`perch:${member.perch}`)];
  const pair: Pair | null = kit && perch ? [kit, perch] : null;
  const key = pair ? pairKey(pair) : '';
  useLook(ref, pair, key);
  const look = pair ? looks.value.get(key) : undefined;
  const name = `${kit?.name ?? member.kit} at ${perch?.name ?? member.perch}`;
  return (
    <li ref={ref} class="record">
      {pair ? (
        <a class="name" href={energyOf(pair[0].id, pair[1].id)}>
          {perch?.name}
        </a>
      ) : (
        <span class="name">{perch?.name ?? member.perch}</span>
      )}
      <span class="strip-place">
        {look ? (
          <Strip id={`n-${id}`} strip={look.strip} name={name} width={400} height={24} />
        ) : (
          <span class="strip-empty" role="img" aria-label={`${name}: not computed`} />
        )}
      </span>
      <span class="state">{look ? <StateWord state={look.state} /> : ''}</span>
      <span class="quiet place">
        {pair
          ? kit?.name
          : `${kit ? '' : 'kit'}${kit || perch ? '' : ' and '}${perch ? '' : 'perch'} not in this workshop`}
      </span>
      <span class="edit">
        {pair ? (
          <a href={reachOf(pair[0].id, pair[1].id)} aria-label={`reach of ${name}`}>
            reach
          </a>
        ) : null}
      </span>
    </li>
  );
}
