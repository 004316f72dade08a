import { useId } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { Problems } from '../parts/problems.tsx';

interface Named {
  readonly name: string;
  readonly country: string;
  readonly ghi_kWh_m2_day: readonly number[];
  readonly temperature_degC: readonly number[];
}

/** Where the weather of a perch comes from: the nearest built-in climate, a named one, or twelve means of its own. */
export function ClimateChoice(props: {
  readonly value: unknown;
  readonly climates: readonly Named[];
  readonly problems: readonly Problem[];
  readonly onChange: (value: unknown) => void;
}) {
  const { value, climates, problems, onChange } = props;
  const id = useId();
  const group = typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : undefined;
  const now =
    group?.['monthly'] !== undefined
      ? 'monthly'
      : group?.['weather'] !== undefined || value === 'weather'
        ? 'weather'
        : typeof group?.['nearest'] === 'string'
          ? `at ${group['nearest']}`
          : 'nearest';
  const choose = (choice: string) => {
    if (choice === 'nearest') return onChange('nearest');
    if (choice.startsWith('at ')) return onChange({ nearest: choice.slice(3) });
    if (choice !== 'monthly') return;
    const first = climates.find((c) => `at ${c.name}` === now) ?? climates[0]!;
    onChange({
      monthly: {
        ghi_kWh_m2_day: [...first.ghi_kWh_m2_day],
        temperature_degC: [...first.temperature_degC],
        source: `to be filled in; begun from ${first.name}`,
      },
    });
  };
  const sorted = [...climates].sort((a, b) => a.name.localeCompare(b.name));
  return (
    <div class={`field${problems.length > 0 ? ' wrong' : ''}`} data-field="perch.climate">
      <label for={id}>weather from</label>
      <span class="entry">
        <select id={id} value={now} onChange={(event) => choose(event.currentTarget.value)}>
          <option value="nearest">the nearest built-in climate</option>
          <option value="monthly">twelve monthly means of its own</option>
          {now === 'weather' ? <option value="weather">a weather file, named in the text</option> : null}
          <optgroup label="a built-in climate">
            {sorted.map((c) => (
              <option key={c.name} value={`at ${c.name}`}>
                {c.name}, {c.country}
              </option>
            ))}
          </optgroup>
        </select>
      </span>
      <span class="hint">Twelve means of the place itself are better than any nearest climate.</span>
      <div class="at-field">
        <Problems list={problems} />
      </div>
    </div>
  );
}
