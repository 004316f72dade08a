/** A part of a long page under its heading: open where there is room, folded on a phone until one asks for it. */
import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';

const NARROW = '(max-width: 760px)';

export function Fold(props: {
  readonly title: string;
  /** How it stands, in few words, so that it need not be opened. */
  readonly said?: string | undefined;
  /** Folded at first on wide screens too. */
  readonly folded?: boolean;
  readonly children: ComponentChildren;
}) {
  const { title, said, folded = false, children } = props;
  const [open, setOpen] = useState(() => !folded && !matchMedia(NARROW).matches);
  return (
    <details class="fold" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <h2>{title}</h2>
        {said === undefined ? null : <span class="quiet">{said}</span>}
      </summary>
      {children}
    </details>
  );
}

/** Whether the page is as narrow as on a phone, now and when it is turned. */
export function useNarrow(): boolean {
  const [narrow, setNarrow] = useState(() => matchMedia(NARROW).matches);
  useEffect(() => {
    const media = matchMedia(NARROW);
    const turn = () => setNarrow(media.matches);
    media.addEventListener('change', turn);
    return () => media.removeEventListener('change', turn);
  }, []);
  return narrow;
}
