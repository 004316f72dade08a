/** The Reach page, loaded when it is first asked for: its map is heavier than all that the first pages need. */
import type { FunctionComponent } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { NotThere, Waiting } from '../waiting.tsx';

interface Asked {
  readonly kit?: string;
  readonly perch?: string;
}

let page: FunctionComponent<Asked> | undefined;

export function ReachLate(asked: Asked) {
  const [loaded, setLoaded] = useState(page !== undefined);
  const [failed, setFailed] = useState(false);
  useEffect(() => {
    if (page !== undefined) return;
    import('./reach.tsx').then(
      ({ ReachPage }) => {
        page = ReachPage;
        setLoaded(true);
      },
      () => setFailed(true),
    );
  }, []);
  if (failed)
    return (
      <NotThere
        problems={[
          { code: 'not-loaded', message: 'the Reach page could not be loaded: reload when the workshop answers again' },
        ]}
      />
    );
  const Page = page;
  return loaded && Page !== undefined ? <Page {...asked} /> : <Waiting what="the map" />;
}
