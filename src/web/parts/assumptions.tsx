import type { Assumption, Caution } from '../../core/energy/index.ts';

/** What was taken for granted, beside the result. */
export function Assumptions({
  list,
  waiting = false,
}: {
  readonly list: readonly Assumption[];
  readonly waiting?: boolean;
}) {
  return (
    <section class="assumed" aria-labelledby="assumed-h">
      <h2 id="assumed-h">Assumed</h2>
      {waiting ? (
        <p class="quiet">Told as soon as the record can be read.</p>
      ) : list.length === 0 ? (
        <p class="quiet">Every input was given.</p>
      ) : (
        <dl>
          {list.map((a) => (
            <div key={`${a.field} ${a.value} ${a.why}`}>
              <dt>
                {a.field}: {a.value}
              </dt>
              <dd>{a.why}</dd>
            </div>
          ))}
        </dl>
      )}
    </section>
  );
}

export function Cautions({ list }: { readonly list: readonly Caution[] }) {
  if (list.length === 0) return null;
  return (
    <section class="cautions" aria-labelledby="cautions-h">
      <h2 id="cautions-h">Cautions</h2>
      <ul>
        {list.map((c) => (
          <li key={c.code}>{c.text}</li>
        ))}
      </ul>
    </section>
  );
}
