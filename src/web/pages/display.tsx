/** How things are shown on this device. Stored values stay as they are. */
import type { ComponentChildren } from 'preact';
import { locked, logOut } from '../api/session.ts';
import { unitOf } from '../display/units.ts';
import { notify } from '../state/notices.ts';
import { change, format, type Settings, settings } from '../state/settings.ts';
import { callProblems } from '../state/workshop.ts';

export function DisplayPage() {
  const { value } = settings;
  const length = unitOf('elevation_m', value);
  const warmth = unitOf('temperature_degC', value);
  const shown = (v: number) => format.value.figure(v, 4);
  return (
    <div class="page">
      <main>
        <p class="thing">
          <b>Display</b>
          <span>on this device only</span>
        </p>
        <h1>
          A hut at {shown(length.toShown(2140))} {length.symbol} and {shown(warmth.toShown(-6.5))} {warmth.symbol}.
        </h1>
        <p class="said">
          Numbers and dates are written as in {navigator.language}. Files and saved values stay in SI units.
        </p>
        <Choice
          name="theme"
          heading="Light and dark"
          options={[
            ['system', 'as the system'],
            ['light', 'light'],
            ['dark', 'dark'],
          ]}
        />
        <Choice
          name="length"
          heading="Lengths"
          options={[
            ['metric', 'metres'],
            ['imperial', 'feet, inches, miles an hour'],
          ]}
        />
        <Choice
          name="temperature"
          heading="Temperatures"
          options={[
            ['degC', '°C'],
            ['degF', '°F'],
          ]}
        />
        {locked.value ? (
          <section aria-labelledby="session-h">
            <h2 id="session-h">Session</h2>
            <p class="said">Closing it also takes away what this device has kept of the workshop.</p>
            <button
              type="button"
              onClick={() => {
                logOut().catch((error: unknown) =>
                  notify(callProblems(error)[0]?.message ?? 'It could not be closed.'),
                );
              }}
            >
              Close the session
            </button>
          </section>
        ) : null}
      </main>
    </div>
  );
}

function Choice<K extends keyof Settings>(props: {
  readonly name: K;
  readonly heading: string;
  readonly options: readonly (readonly [Settings[K], ComponentChildren])[];
}) {
  const { name, heading, options } = props;
  return (
    <fieldset class="choice">
      <legend>{heading}</legend>
      {options.map(([value, word]) => (
        <label key={String(value)}>
          <input
            type="radio"
            name={name}
            value={String(value)}
            checked={settings.value[name] === value}
            onChange={() => change({ [name]: value } as Partial<Settings>)}
          />{' '}
          {word}
        </label>
      ))}
    </fieldset>
  );
}
