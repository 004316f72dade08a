import type { State } from '../../app/target.ts';

/** The shape of a state: full, half or empty disc; the word stands beside it or in its label. */
export function StateSign({ state, size = 14 }: { readonly state: State; readonly size?: number }) {
  return (
    <svg class="state-sign" width={size} height={size} viewBox="0 0 16 16" aria-hidden="true">
      <circle
        cx="8"
        cy="8"
        r="6.5"
        fill={state === 'stays up' ? 'currentColor' : 'none'}
        stroke="currentColor"
        stroke-width="1.8"
      />
      {state === 'on the edge' ? <path d="M8 1.5A6.5 6.5 0 0 0 8 14.5Z" fill="currentColor" /> : null}
    </svg>
  );
}

export function StateWord({ state }: { readonly state: State }) {
  return (
    <span class="state-word">
      <StateSign state={state} /> {state}
    </span>
  );
}
