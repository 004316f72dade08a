/** Will this very unit stay up where it stands: what is known, a first look until then, and the way to the whole answer. */
import { useEffect, useState } from 'preact/hooks';
import type { BenchForecast } from '../../../server/api.ts';
import { beginForecast, getForecast } from '../../api/bench.ts';
import { JobProgress, useJob } from '../../parts/job.tsx';
import { Problems } from '../../parts/problems.tsx';
import { StateWord } from '../../parts/state-sign.tsx';
import { Strip } from '../../parts/strip.tsx';
import { lookOf, type UnitLook } from '../../state/unit-looks.ts';
import { useRead } from './use-read.ts';

export function UnitForecast({ serial }: { readonly serial: string }) {
  const { value, problems, again } = useRead(`forecast ${serial}`, () => getForecast(serial));
  return (
    <section aria-labelledby="forecast-h" class="unit-forecast">
      <h2 id="forecast-h">Forecast</h2>
      <Problems list={problems} />
      {value === null ? (
        <p class="said">Reading where it stands …</p>
      ) : value.why !== null ? (
        <p class="said">There is no forecast: {value.why}.</p>
      ) : (
        <Known key={JSON.stringify(value.asked)} forecast={value} again={again} />
      )}
    </section>
  );
}

function Known({ forecast, again }: { readonly forecast: BenchForecast; again(): void }) {
  const { serial, place, kept, values } = forecast;
  const [first, setFirst] = useState<UnitLook | null>(null);
  const job = useJob<unknown>(`unit ${JSON.stringify(forecast.asked)}`);
  useEffect(() => {
    let here = true;
    if (kept === null) void lookOf(forecast).then((look) => here && setFirst(look));
    return () => {
      here = false;
    };
  }, [kept]);
  useEffect(() => {
    if (job.result !== undefined && kept === null) again();
  }, [job.result]);
  const shown = kept ?? first;
  const used = values.filter((v) => v.set.length > 0).length;
  return (
    <>
      <p class="said">
        {kept !== null
          ? kept.verdict
          : first !== null
            ? `A first look: ${first.verdict}`
            : `Looking at ${serial} at ${place!.name} …`}
      </p>
      {shown === null ? null : (
        <p class="forecast-strip">
          <StateWord state={shown.state} />
          <Strip
            id={`forecast-${serial}`}
            strip={shown.strip}
            name={`${serial} at ${place!.name}`}
            width={400}
            height={44}
          />
        </p>
      )}
      <p class="quiet">
        At {place!.name}
        {place!.perch === null ? ', the place of its order' : `, the perch ${place!.perch}`}.{' '}
        {used === 0
          ? 'Nothing that the forecast takes was measured on it: these are the data sheet’s values.'
          : `${used} ${used === 1 ? 'value' : 'values'} measured on it stand in place of the data sheet’s.`}
      </p>
      {kept === null && job.status === null ? (
        <p>
          <button type="button" onClick={() => job.start(() => beginForecast(serial))}>
            Compute its forecast
          </button>{' '}
          <span class="quiet">200 winters, causes and ageing; not computed yet for the unit as it is now</span>
        </p>
      ) : null}
      <JobProgress job={job} />
      <Problems list={job.problems} />
      <ul class="notes quiet">
        {[...forecast.notes, ...place!.notes].map((note) => (
          <li key={note}>{note}</li>
        ))}
      </ul>
    </>
  );
}
