/** The pages of the bench, loaded when they are first asked for. */
import type { FunctionComponent } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { BenchRoute } from '../../routes.ts';
import { NotThere, Waiting } from '../waiting.tsx';

let page: FunctionComponent<{ readonly at: BenchRoute }> | undefined;

export function BenchLate({ at }: { readonly at: BenchRoute }) {
  const [loaded, setLoaded] = useState(page !== undefined);
  const [failed, setFailed] = useState(false);
  useEffect(() => {
    if (page !== undefined) return;
    import('./pages.tsx').then(
      (found) => {
        page = found.BenchPages;
        setLoaded(true);
      },
      () => setFailed(true),
    );
  }, []);
  if (failed)
    return (
      <NotThere
        problems={[
          { code: 'not-loaded', message: 'the bench could not be loaded: reload when the workshop answers again' },
        ]}
      />
    );
  const Page = page;
  return loaded && Page !== undefined ? <Page at={at} /> : <Waiting what="the bench" />;
}
