/** One field for everything that has a name at the bench; a scanner may write into it. */
import { useEffect, useState } from 'preact/hooks';
import type { FindOutcome, Hit } from '../../../app/bench/search.ts';
import { getFound } from '../../api/bench.ts';
import { batchOf, benchOf, go, lotOf, orderOf, unitOf } from '../../routes.ts';
import { serialIn } from '../../state/scan.ts';
import { callProblems } from '../../state/workshop.ts';
import { Camera } from './scanning.tsx';
import { UnitStrip } from './unit-strip.tsx';

const ADDRESS: Readonly<Record<Hit['kind'], (key: string) => string>> = {
  unit: unitOf,
  batch: (key) => batchOf(key),
  lot: lotOf,
  order: orderOf,
  part: () => benchOf(undefined, 'stores'),
};
const addressOf = ({ kind, key }: Hit): string => ADDRESS[kind](key);

/** Wait after the last letter before asking, ms. */
const REST_ms = 120;

/** `camera`: false where the page has the camera's button elsewhere. */
export function Find({ camera = true }: { readonly camera?: boolean }) {
  const [text, setText] = useState('');
  const [found, setFound] = useState<FindOutcome | null>(null);
  const [said, setSaid] = useState('');
  useEffect(() => {
    if (text.trim() === '') return setFound(null);
    let here = true;
    const timer = setTimeout(() => {
      getFound(text.trim().slice(0, 100)).then(
        (answer) => {
          if (!here) return;
          setFound(answer);
          setSaid('');
        },
        (error: unknown) => here && setSaid(callProblems(error)[0]?.message ?? ''),
      );
    }, REST_ms);
    return () => {
      here = false;
      clearTimeout(timer);
    };
  }, [text]);
  const enter = () => {
    const hits = found !== null && found.text === text.trim() ? found.hits : [];
    const one = hits.length === 1 ? hits[0] : hits.find((hit) => hit.key.toLowerCase() === text.trim().toLowerCase());
    go(one ? addressOf(one) : unitOf(serialIn(text)));
  };
  return (
    <div class="bench-find">
      <form
        class="find"
        onSubmit={(event) => {
          event.preventDefault();
          if (text.trim() !== '') enter();
        }}
      >
        <label>
          find{' '}
          <input
            type="text"
            data-scan="1"
            autocomplete="off"
            autocapitalize="off"
            spellcheck={false}
            placeholder="serial, lot, order, customer"
            value={text}
            onInput={(event) => setText(event.currentTarget.value)}
          />
        </label>
        {camera ? <Camera /> : null}
      </form>
      {said === '' ? null : <p class="quiet">{said}</p>}
      {found === null ? null : (
        <div role="status">
          {found.hits.length === 0 ? (
            <p class="said">Nothing at the bench is named “{found.text}”.</p>
          ) : (
            <ul class="hits">
              {found.hits.slice(0, 12).map((hit) => (
                <li key={`${hit.kind} ${hit.key}`}>
                  <a href={addressOf(hit)}>{hit.key}</a>{' '}
                  <span class="quiet">
                    {hit.kind}: {hit.said}
                  </span>
                  {hit.kind === 'unit' ? <UnitStrip serial={hit.key} /> : null}
                </li>
              ))}
              {found.hits.length + found.more > 12 ? (
                <li class="quiet">and {found.hits.length + found.more - 12} more: write on</li>
              ) : null}
            </ul>
          )}
        </div>
      )}
    </div>
  );
}
