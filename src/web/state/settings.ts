/** How this reader wants things shown; kept in the browser. */
import { computed, effect, signal } from '@preact/signals';
import { figuresFor } from '../display/figures.ts';
import { decimalOf, formatFor } from '../display/numbers.ts';
import type { Display } from '../display/units.ts';

export type Theme = 'system' | 'light' | 'dark';

export interface Settings extends Display {
  readonly theme: Theme;
}

const KEY = 'sunperch.display';
/** Countries that use the mile and the foot; all else is metric. */
const IMPERIAL = /-(US|LR|MM)\b/;
const FAHRENHEIT = /-(US|LR|BS|BZ|KY|PW)\b/;

function initial(): Settings {
  const language = navigator.language ?? 'en';
  const start: Settings = {
    length: IMPERIAL.test(language) ? 'imperial' : 'metric',
    temperature: FAHRENHEIT.test(language) ? 'degF' : 'degC',
    theme: 'system',
  };
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? '{}') as Partial<Settings>;
    return {
      length: kept.length === 'metric' || kept.length === 'imperial' ? kept.length : start.length,
      temperature: kept.temperature === 'degC' || kept.temperature === 'degF' ? kept.temperature : start.temperature,
      theme: kept.theme === 'light' || kept.theme === 'dark' ? kept.theme : 'system',
    };
  } catch {
    return start;
  }
}

export const settings = signal<Settings>(initial());
export const format = computed(() => formatFor(navigator.language));
/** The same for pictures and the sentences beside them. */
export const figures = computed(() => figuresFor(navigator.language, settings.value));
/** The decimal sign that the reader's country writes. */
export const decimal = decimalOf(navigator.language);

export function change(part: Partial<Settings>): void {
  settings.value = { ...settings.value, ...part };
  try {
    localStorage.setItem(KEY, JSON.stringify(settings.value));
  } catch {
    // Without storage the choice holds for this visit.
  }
}

effect(() => {
  const { theme } = settings.value;
  if (theme === 'system') delete document.documentElement.dataset['theme'];
  else document.documentElement.dataset['theme'] = theme;
});
