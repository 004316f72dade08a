/** What wants a look: what the server knows, and what the first looks of this visit have found. */
import { useComputed } from '@preact/signals';
import { energyOf } from '../../routes.ts';
import { looks, type Pair, pairKey, type Seen } from '../../state/pairs.ts';
import { byId, overview } from '../../state/workshop.ts';

/** Lines shown, and how many of them may be about what nobody has computed yet. */
const SHOWN = 10;
const UNKNOWN = 3;

/** Looks at revisions that still are the newest. */
export function currentLooks(): readonly (Seen & { readonly pair: Pair })[] {
  const now = byId.value;
  return [...looks.value].flatMap(([key, look]) => {
    if (!look) return [];
    const [kit, perch] = [now.get(look.kit), now.get(look.perch)];
    if (kit === undefined || perch === undefined || pairKey([kit, perch]) !== key) return [];
    return [{ ...look, pair: [kit, perch] as const }];
  });
}

interface Line {
  readonly text: string;
  readonly kit?: string;
  readonly perch?: string;
}

/** What goes dark or has changed first; then some of what nobody has computed, less what the looks have answered meanwhile. */
function linesNow(): readonly Line[] {
  const told = overview.value?.attention ?? [];
  const seen = currentLooks();
  const looked = new Set(seen.flatMap((l) => [l.kit, l.perch]));
  const open = told.filter((a) => (a.kit && a.perch) || !looked.has(a.kit ?? a.perch ?? ''));
  const already = new Set(open.map((a) => `${a.kit} ${a.perch}`));
  const found = seen
    .filter((l) => l.state !== 'stays up' && !already.has(`${l.kit} ${l.perch}`))
    .map(({ verdict, kit, perch }) => ({ text: verdict, kit, perch }));
  const pairs = open.filter((a) => a.kit && a.perch);
  const alone = open.filter((a) => !(a.kit && a.perch)).slice(0, UNKNOWN);
  return [...[...pairs, ...found].slice(0, SHOWN - alone.length), ...alone];
}

export function Attention() {
  const lines = useComputed(linesNow).value;
  const nameOf = (id: string | undefined) => (id === undefined ? undefined : byId.value.get(id)?.name);
  return (
    <section aria-labelledby="attention-h">
      <h2 id="attention-h">What wants a look</h2>
      {lines.length === 0 ? (
        <p class="said">Nothing at the moment.</p>
      ) : (
        <ul class="attention">
          {lines.map((a) => (
            <li key={`${a.kit} ${a.perch} ${a.text}`}>
              {a.text}{' '}
              <a href={energyOf(a.kit, a.perch)}>
                look
                <span class="unseen"> at {[nameOf(a.kit), nameOf(a.perch)].filter(Boolean).join(' at ')}</span>
              </a>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
