/** What is to be known before a unit leaves, beside the button that ships it: its charge, and the place that it goes to. */
import { useEffect, useState } from 'preact/hooks';
import type { ShipCheck } from '../../../app/bench/ship-check.ts';
import { getLeaving } from '../../api/bench.ts';
import { orderOf } from '../../routes.ts';
import { CheckPlace, PlaceWord } from './places.tsx';
import { useRead } from './use-read.ts';

/** Wait after the last figure before asking, ms. */
const REST_ms = 250;

/** @param asked voltage, temperature and order as the form has them; figures with a decimal point */
export function Leaving({
  serial,
  asked,
}: {
  readonly serial: string;
  readonly asked: Readonly<Record<string, string>>;
}) {
  const key = JSON.stringify(asked);
  const [rested, setRested] = useState(key);
  useEffect(() => {
    const timer = setTimeout(() => setRested(key), REST_ms);
    return () => clearTimeout(timer);
  }, [key]);
  const { value, problems, again } = useRead(`leaving ${serial} ${rested}`, () =>
    getLeaving(serial, JSON.parse(rested) as Record<string, string>),
  );
  return (
    <div class="leaving" role="status">
      {problems.length > 0 ? (
        <p class="quiet">What is to be known before it leaves cannot be told: {problems[0]!.message}.</p>
      ) : value === null ? (
        <p class="quiet">Reading what is to be known before it leaves …</p>
      ) : (
        <Known check={value} again={again} />
      )}
    </div>
  );
}

function Known({ check, again }: { readonly check: ShipCheck; readonly again: () => void }) {
  const { charge, place } = check;
  const span =
    charge.low_pct === null || charge.high_pct === null ? '' : ` (${charge.low_pct} to ${charge.high_pct} %)`;
  return (
    <dl class="known">
      <div>
        <dt>charge</dt>
        <dd>
          <b>
            {charge.charge_pct === null
              ? 'not known'
              : `${charge.charge_pct} %${span}, ${charge.above ? 'above' : 'at most'} ${charge.limit_pct} %`}
          </b>
          {charge.notes.map((note) => (
            <p key={note}>{sentence(note)}</p>
          ))}
          {charge.charge_pct !== null && !charge.above ? <p class="quiet">{sentence(charge.said)}</p> : null}
        </dd>
      </div>
      {place === null ? null : (
        <div>
          <dt>place</dt>
          <dd>
            <b>
              <PlaceWord state={place.state} />
            </b>{' '}
            <a href={orderOf(place.order)}>{place.place ?? place.order}</a>
            {place.verdict === '' ? null : <p>{place.verdict}</p>}
            {place.why === null ? null : <p class="quiet">It cannot be checked: {place.why}.</p>}
            {place.why === null ? <CheckPlace order={place.order} state={place.state} onDone={again} /> : null}
          </dd>
        </div>
      )}
    </dl>
  );
}

const sentence = (text: string) => `${text[0]!.toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? '' : '.'}`;
