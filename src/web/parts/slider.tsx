/** A slider with its number field and unit. The two always say the same; a change shows at once. */
import { useId, useState } from 'preact/hooks';
import type { Problem } from '../../core/units/index.ts';
import { parseNumber } from '../display/numbers.ts';
import { type ShownUnit, unitOf } from '../display/units.ts';
import { decimal, format, settings } from '../state/settings.ts';
import { Problems } from './problems.tsx';

export interface SliderProps {
  readonly label: string;
  /** Name of the field, for its unit. */
  readonly field: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly problems: readonly Problem[];
  /** The saved value, when it differs: shown, so that one sees what was changed. */
  readonly was?: number;
  readonly note?: string;
  readonly disabled?: boolean;
  readonly onChange: (value: number | string) => void;
  readonly onEnd: () => void;
}

const round = (value: number, step: number) => Number((Math.round(value / step) * step).toPrecision(10));

/** A value in other units has digits without meaning; what is stored changes only when somebody types. */
function readable(value: number, unit: ShownUnit): number {
  const there = unit.toShown(value);
  return there === value ? value : Number(there.toPrecision(4));
}

export function Slider(props: SliderProps) {
  const { label, field, value, low, high, step, problems, was, note, disabled = false } = props;
  const id = useId();
  const unit = unitOf(field, settings.value);
  const shown = format.value.editable(readable(value, unit));
  // While a number is being typed, what stands in the field is left alone.
  const [typed, setTyped] = useState<string | null>(null);
  const share = Math.max(0, Math.min(1, (value - low) / (high - low || 1)));
  return (
    <div class={`control${problems.length > 0 ? ' wrong' : ''}`}>
      <div class="control-line">
        <label for={`${id}-n`}>{label}</label>
        <span class="was">{was === undefined ? '' : `was ${format.value.figure(unit.toShown(was), 4)}`}</span>
        <span class="number">
          <input
            id={`${id}-n`}
            type="text"
            inputMode="decimal"
            autocomplete="off"
            disabled={disabled}
            value={typed ?? shown}
            aria-invalid={problems.length > 0}
            aria-describedby={`${id}-p`}
            onInput={(event) => {
              const text = event.currentTarget.value;
              setTyped(text);
              const number = parseNumber(text, decimal);
              if (text.trim() !== '') props.onChange(number === undefined ? text.trim() : unit.toStored(number));
            }}
            onBlur={() => {
              setTyped(null);
              props.onEnd();
            }}
          />
          <span class="unit">{unit.symbol}</span>
        </span>
      </div>
      <input
        type="range"
        aria-label={`${label}, slider`}
        aria-valuetext={`${shown} ${unit.symbol}`}
        disabled={disabled}
        min={low}
        max={high}
        step={step}
        value={value}
        style={{ '--share': `${share * 100}%` }}
        onInput={(event) => props.onChange(round(event.currentTarget.valueAsNumber, step))}
        onPointerUp={props.onEnd}
        onBlur={props.onEnd}
      />
      <div id={`${id}-p`}>
        <Problems list={problems} />
        {note === undefined ? null : <p class="quiet">{note}</p>}
      </div>
    </div>
  );
}
